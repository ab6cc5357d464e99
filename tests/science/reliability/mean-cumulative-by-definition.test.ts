import { expect, test } from 'vitest'
import { meanCumulativeFunction } from '@/lib/science/reliability'
import { seededRandom } from '../seeded-random'

type Unit = { start: number; end: number; events: number[] }

/** The estimate as its definition says it: at each time a walk over all units. Source: Lawless & Nadeau 1995, Technometrics 37: 158–168. */
function byDefinition(units: readonly Unit[]) {
  const deviations = units.map(() => 0)
  let mean = 0
  return [...new Set(units.flatMap(({ events }) => events))]
    .sort((one, other) => one - other)
    .map((time) => {
      const isIn = units.map(({ start, end }) => start < time && time <= end)
      const atRisk = isIn.filter(Boolean).length
      const counts = units.map(({ events }) => events.filter((event) => event === time).length)
      const average = counts.reduce((sum, count) => sum + count, 0) / atRisk
      mean += average
      units.forEach((_, unit) => {
        if (isIn[unit]) deviations[unit] = (deviations[unit] ?? 0) + ((counts[unit] ?? 0) - average) / atRisk
      })
      const variance = deviations.reduce((sum, deviation) => sum + deviation ** 2, 0)
      return { time, atRisk, mean, standardError: Math.sqrt(variance) }
    })
}

test('units that come and go at any time: as the definition says, in 300 random groups', () => {
  const random = seededRandom(7)
  const upTo = (most: number) => Math.floor(random() * most)
  for (let group = 0; group < 300; group++) {
    const units = Array.from({ length: 1 + upTo(30) }, (): Unit => {
      const start = upTo(20)
      const end = start + 1 + upTo(60)
      return { start, end, events: Array.from({ length: upTo(8) }, () => start + 1 + upTo(end - start)) }
    })
    const found = meanCumulativeFunction(units)
    const expected = byDefinition(units)
    expect(found.map(({ time, atRisk }) => [time, atRisk])).toEqual(expected.map(({ time, atRisk }) => [time, atRisk]))
    for (const [step, { mean, standardError }] of expected.entries()) {
      expect(found[step]?.mean).toBeCloseTo(mean, 10)
      expect(found[step]?.standardError).toBeCloseTo(standardError, 6)
    }
  }
})
