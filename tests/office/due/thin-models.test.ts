import fc from 'fast-check'
import { expect, test } from 'vitest'
import { versionsToDrop } from '@/lib/office/lanes/thin-models'

const TODAY = 20_783
const nightly = (nights: number) =>
  Array.from({ length: nights }, (_, night) => ({ version: night + 1, cutoffDay: TODAY - nights + 1 + night }))

test('three years of nights leave a fortnight, the weeks of half a year, and the months', () => {
  const versions = nightly(1095)
  const dropped = new Set(versionsToDrop(versions, TODAY))
  const kept = versions.filter(({ version }) => !dropped.has(version))
  const aged = (from: number, to: number) =>
    kept.filter(({ cutoffDay }) => TODAY - cutoffDay >= from && TODAY - cutoffDay <= to).length
  expect(aged(0, 14)).toBe(15)
  expect(aged(15, 182)).toBeGreaterThanOrEqual(24)
  expect(aged(15, 182)).toBeLessThanOrEqual(26)
  expect(kept.length).toBeLessThan(75)
})

test('the newest stays whatever the days say, and thinning every night or once comes to the same', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: TODAY - 900, max: TODAY }), { minLength: 1, maxLength: 80 }), (days) => {
      const versions = days.map((cutoffDay, at) => ({ version: at + 1, cutoffDay }))
      const dropped = versionsToDrop(versions, TODAY)
      expect(dropped).not.toContain(versions.length)
      const left = versions.filter(({ version }) => !dropped.includes(version))
      expect(versionsToDrop(left, TODAY)).toEqual([])
    }),
    { seed: 9, numRuns: 200 },
  )
})
