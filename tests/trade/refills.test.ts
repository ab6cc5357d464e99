import { describe, expect, test } from 'vitest'
import { type Container, fillTo, refillCautions, refillOf, refillWords, usageWords } from '@/lib/trade'

const water: Container = {
  kind: 'top-up-water',
  label: 'Top-up water',
  unit: 'L',
  capacity: 25,
  emptyAt: 0,
  filledBy: 'technician',
}
/** Two litres a day, filled up every week; invented. */
const weekly = [0, 7, 14, 21].map((day) => ({ day, before: day === 0 ? null : 25 - 14 - (day % 2), after: 25 }))
const day = (number: number) => `day ${number}`
const words = (container: Container, refill: ReturnType<typeof refillOf>, nextVisitDay: number | null, today = 21) =>
  refillWords(container, refill, { formatDay: day, today, nextVisitDay, visitIsBooked: true })

describe('a container', () => {
  test('lasts a week and not three', () => {
    expect(refillOf(water, weekly, 28)).toMatchObject({ verdict: 'lasts' })
    const late = refillOf(water, weekly, 42)
    expect(late.verdict).toBe('will-not-last')
    expect(late.empty?.day).toBeGreaterThan(21 + 10)
    expect(late.empty?.day).toBeLessThan(21 + 14)
    expect(words(water, late, 42)).toMatch(
      /^Top-up water: about 2\.1 L a day; 25 L left on day 21 will last until about day 3\d \(day 3\d to day 3\d, 9 in 10\)\. Next visit day 42: it will not last, almost surely\. Bring the visit forward, /,
    )
  })
  test('that ought to be empty by now is not said to last until a day that has gone by', () => {
    const late = refillOf(water, weekly, 42)
    const emptyDay = late.empty?.day ?? 0
    expect(words(water, late, 42, emptyDay)).toContain(`will last until about day ${emptyDay} `)
    const after = words(water, late, 42, emptyDay + 1)
    expect(after).toContain(`25 L left on day 21 should have run out by about day ${emptyDay} (`)
    expect(after).not.toContain('will last until')
  })
  test('with one level says that one more is needed, and with none that there is none', () => {
    expect(words(water, refillOf(water, weekly.slice(0, 1), 28), 28)).toBe(
      'Top-up water: one more reading and we can tell how long it lasts.',
    )
    expect(words(water, refillOf(water, [], 28), 28)).toContain('no level is known yet')
  })
  test('that somebody else filled says which stretch is left out', () => {
    const filled = [...weekly, { day: 28, before: 25.5, after: null }, { day: 35, before: 11, after: 25 }]
    const refill = refillOf({ ...water, capacity: 30 }, filled, 42)
    expect(refill.leftOut).toEqual([{ fromDay: 21, toDay: 28, why: 'filled by somebody else' }])
    expect(words(water, refill, 42)).toContain('One stretch is left out: the level rose without us')
  })
  test('left empty will not last, whatever is known of its use', () => {
    const refill = refillOf(water, [...weekly, { day: 28, before: 0, after: null }], 35)
    expect(refill).toMatchObject({ verdict: 'will-not-last', chance: 0 })
    expect(words(water, refill, 35)).toContain('left empty on day 28')
  })
  test('that was come upon empty each time will run dry again', () => {
    const dry = [0, 7, 14].map((at) => ({ day: at, before: at === 0 ? null : 0, after: 25 }))
    const refill = refillOf(water, dry, 21)
    expect(refill).toMatchObject({ verdict: 'will-not-last', perDay: null })
    // Twice out of twice: (0 + ½) / (2 + 1) that it lasts.
    expect(refill.chance).toBeCloseTo(1 / 6, 12)
    expect(words(water, refill, 21)).toContain('It will probably not last again')
    expect(refillOf(water, dry, 18)).toMatchObject({ verdict: 'unknown' })
  })
  test('whose level never moves asks whether it runs', () => {
    const still = [0, 7, 14].map((at) => ({ day: at, before: at === 0 ? null : 25, after: 25 }))
    expect(words(water, refillOf(water, still, 21), 21)).toContain('Is it running?')
  })
  test('a cylinder is empty at its own weight', () => {
    const cylinder: Container = {
      kind: 'gas',
      label: 'Gas',
      unit: 'kg',
      capacity: 4.9,
      emptyAt: 2.9,
      filledBy: 'technician',
    }
    const records = [0, 14, 28].map((at) => ({ day: at, before: at === 0 ? null : 4.9 - at * 0.02, after: null }))
    const refill = refillOf(cylinder, [{ day: 0, before: null, after: 4.9 }, ...records.slice(1)], 42)
    expect(refill.left).toBeCloseTo(4.9 - 28 * 0.02 - 2.9, 6)
    expect(refill.verdict).toBe('lasts')
    expect(usageWords(cylinder, refill, day)).toBe('Uses about 0.02 kg a day. 1.4 kg usable on day 28.')
  })
  test('is filled to last until the visit after and three days more, where it can', () => {
    const { consumption } = refillOf(water, weekly, 28)
    const target = fillTo(water, { consumption }, 28, 35)
    expect(target?.fits).toBe(true)
    expect(target?.level).toBeGreaterThan(20) // ten days at 2 L
    expect(target?.level).toBeLessThan(25)
    expect(fillTo(water, { consumption }, 28, 56)).toMatchObject({ fits: false, level: 25 })
  })
})

test('cautions stand beside the filling they belong to, and nowhere else', () => {
  const slugs = (...of: Parameters<typeof refillCautions>) => refillCautions(...of).map(({ slug }) => slug)
  expect(slugs('gas', 'kg', 2)).toEqual(['gas', 'gas-cylinder'])
  expect(slugs('lime-water', 'g', 500)).toEqual(['lime-dust'])
  expect(slugs('acid-dose', 'mL', 500)).toEqual(['acid'])
  expect(slugs('top-up-water', 'L', 15)).toEqual([])
  expect(slugs('top-up-water', 'L', 25)).toEqual(['lifting'])
  expect(slugs('fleece', 'm', 20)).toEqual([])
})
