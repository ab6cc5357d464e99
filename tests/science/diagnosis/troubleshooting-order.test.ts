// Published model and theorem, figures by brute force: see tests/reference/troubleshooting.ts. Everything else against all orders, tried one by one.
import { describe, expect, test } from 'vitest'
import { nextCheck, troubleshootingOrder } from '@/lib/science'
import { TROUBLESHOOTING } from '../../reference/troubleshooting'
import { seededRandom } from '../seeded-random'
import { allOrders, expectedMinutesOf } from './all-orders'

describe('the order of single causes', () => {
  test.each(TROUBLESHOOTING)(
    'published case $minutes',
    ({ probability, minutes, orders, cost, worst, byProbability }) => {
      const causes = probability.map((one, place) => ({ probability: one, minutes: minutes[place] ?? Number.NaN }))
      const order = troubleshootingOrder(causes)
      expect(orders).toContainEqual(order.map((place) => place + 1))
      expect(expectedMinutesOf(order, causes)).toBeCloseTo(cost, 8)
      const all = [...allOrders(causes.length)].map((one) => expectedMinutesOf(one, causes))
      expect(Math.max(...all)).toBeCloseTo(worst, 8)
      expect(all.filter((one) => one < cost + 1e-9)).toHaveLength(orders.length)
      expect(expectedMinutesOf([...causes.keys()], causes)).toBeCloseTo(byProbability, 8) // written down by falling probability
    },
  )
  test('no order of up to 7 causes is quicker (brute force, 60 models)', () => {
    const random = seededRandom(7)
    for (let count = 1; count <= 7; count++)
      for (let run = 0; run < (count < 7 ? 9 : 6); run++) {
        const raw = Array.from({ length: count }, () => random() ** 2)
        const sum = raw.reduce((one, other) => one + other, 0)
        const causes = raw.map((one) => ({ probability: one / sum, minutes: 1 + Math.floor(random() * 40) }))
        const best = Math.min(...[...allOrders(count)].map((order) => expectedMinutesOf(order, causes)))
        expect(expectedMinutesOf(troubleshootingOrder(causes), causes)).toBeCloseTo(best, 9)
      }
  })
  test('what costs nothing goes first, equals stay as they came, nothing is an empty order', () => {
    expect(
      troubleshootingOrder([
        { probability: 0.5, minutes: 5 },
        { probability: 0, minutes: 0 },
      ]),
    ).toEqual([1, 0])
    expect(
      troubleshootingOrder([
        { probability: 0.2, minutes: 2 },
        { probability: 0.1, minutes: 1 },
      ]),
    ).toEqual([0, 1])
    expect(troubleshootingOrder([])).toEqual([])
  })
  test.each([
    { probability: -0.1, minutes: 1 },
    { probability: Number.NaN, minutes: 1 },
    { probability: 0.5, minutes: -1 },
    { probability: 0.5, minutes: Infinity },
  ])('$probability in $minutes minutes is refused', (cause) => {
    expect(() => troubleshootingOrder([cause])).toThrow(RangeError)
  })
})

describe('with a shared set-up', () => {
  test('no order of up to 7 causes is quicker where each set-up needs the one before (brute force, 40 models)', () => {
    const random = seededRandom(11)
    for (let run = 0; run < 40; run++) {
      const count = run < 36 ? 2 + (run % 5) : 7
      const setUps = ['off', 'out', 'open'].map((slug) => ({ slug, minutes: 1 + Math.floor(random() * 20) }))
      const raw = Array.from({ length: count }, () => 0.05 + random() ** 2)
      const sum = raw.reduce((one, other) => one + other, 0)
      const causes = raw.map((one, place) => ({
        slug: `cause-${place}`,
        prior: one,
        probability: one / sum,
        minutes: 1 + Math.floor(random() * 30),
        needs: setUps.slice(0, Math.floor(random() * 4)).map(({ slug }) => slug),
      }))
      const minutes = new Map(setUps.map((one) => [one.slug, one.minutes]))
      const best = Math.min(...[...allOrders(count)].map((order) => expectedMinutesOf(order, causes, minutes)))
      expect(nextCheck({ causes, checks: [], setUps }, {}).expectedMinutes).toBeCloseTo(best, 9)
    }
  })
  test('a device is lifted out once: what shares the way out is done before anything else is better alone', () => {
    const cause = (slug: string, prior: number, minutes: number, needs: string[]) => ({ slug, prior, minutes, needs })
    const model = {
      causes: [cause('inside-1', 30, 5, ['out']), cause('inside-2', 30, 5, ['out']), cause('beside', 40, 10, [])],
      checks: [],
      setUps: [{ slug: 'out', minutes: 4 }],
    }
    // Alone 30/9 < 40/10; together 60/14 > 40/10.
    expect(nextCheck(model, {}).cure).toBe('inside-1')
    // 9 + 0.7 × 5 + 0.4 × 10
    expect(nextCheck(model, {}).expectedMinutes).toBeCloseTo(16.5, 9)
    expect(nextCheck(model, { inPlace: ['out'] }).expectedMinutes).toBeCloseTo(12.5, 9)
  })
})
