// Medians and shapes of the catalogue are common practice or from memory, without a source; what is tested here is that the
// catalogue holds together, and the Weibull identity S(median) = 1/2.
import { describe, expect, test } from 'vitest'
import { survivalAt } from '@/lib/science'
import {
  CAUTION_SLUGS,
  careTasks,
  classesOfTank,
  equipmentClasses,
  failureModes,
  findClass,
  findMode,
  findTask,
  modesOf,
  priorOf,
  TANK_KINDS,
  tasksOf,
  tasksRenewing,
  weibullOf,
} from '@/lib/trade'

describe('the catalogue', () => {
  test.each([
    ['classes', equipmentClasses],
    ['modes', failureModes],
    ['tasks', careTasks],
  ])('slugs of %s are unique and readable', (_, things) => {
    const slugs = things.map((thing) => thing.slug)
    expect(new Set(slugs).size).toBe(slugs.length)
    for (const slug of slugs) expect(slug).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*(\/[a-z0-9]+(-[a-z0-9]+)*)?$/)
  })
  test('every mode is renewed by some task, and every task renews modes of its own class', () => {
    for (const mode of failureModes) expect(tasksRenewing(mode.slug).length, mode.slug).toBeGreaterThan(0)
    for (const task of careTasks) {
      expect(task.renews.length, task.slug).toBeGreaterThan(0)
      for (const slug of task.renews) expect(findMode(slug)?.equipmentClass, task.slug).toBe(task.equipmentClass)
    }
  })
  test('every class has modes, tasks and a kind of tank', () => {
    for (const { slug, tankKinds } of equipmentClasses) {
      expect(modesOf(slug).length, slug).toBeGreaterThan(0)
      expect(tasksOf(slug).length, slug).toBeGreaterThan(0)
      expect(tankKinds.length, slug).toBeGreaterThan(0)
    }
    for (const kind of TANK_KINDS) expect(classesOfTank(kind).length, kind).toBeGreaterThan(5)
  })
  test('every caution that a task names exists; acid and bleach never share a task', () => {
    for (const task of careTasks) {
      for (const caution of task.cautions) expect(CAUTION_SLUGS, task.slug).toContain(caution)
      expect(task.cautions.includes('acid') && task.cautions.includes('bleach'), task.slug).toBe(false)
    }
  })
  test('only safety-critical modes have an age limit', () => {
    for (const mode of failureModes.filter((known) => known.ageLimitWeeks !== undefined))
      expect(mode.safetyCritical, mode.slug).toBe(true)
    expect(findMode('heater/stuck')?.ageLimitWeeks).toBe(104)
  })
  test('a strip-down renews film, clog, grit and body fouling at once', () => {
    const renewed = findTask('protein-skimmer/strip-down')?.renews ?? []
    for (const name of ['impeller-film', 'wheel-clogged', 'impeller-grit', 'body-fouled'])
      expect(renewed).toContain(`protein-skimmer/${name}`)
  })
  test('nothing but a new heater renews a heater; a rotor is renewed without a new pump', () => {
    expect(findMode('heater/stuck')?.renewedOnlyByReplacing).toBe(true)
    expect(findMode('return-pump/worn')?.renewedOnlyByReplacing).toBe(false)
  })
  test('an unknown slug is null, not an error', () => {
    expect([findClass('x'), findMode('x/y'), findTask('x/y')]).toEqual([null, null, null])
    expect(modesOf('x')).toEqual([])
  })
})

describe('starting lives', () => {
  test.each(failureModes.map((mode) => [mode.slug, mode] as const))('%s: half are left at the median', (_, mode) => {
    const { shape, scaleDays } = weibullOf(mode)
    expect(survivalAt({ shape, scale: scaleDays }, mode.medianWeeks * 7)).toBeCloseTo(0.5, 12)
  })
  test('the prior is centred on the same life', () => {
    const mode = { medianWeeks: 26, shape: 2 }
    expect(Math.exp(priorOf(mode).logScale.mean)).toBeCloseTo(weibullOf(mode).scaleDays, 9)
    expect(Math.exp(priorOf(mode).logShape.mean)).toBeCloseTo(2, 12)
  })
  test.each([0, -1, Number.NaN, Number.POSITIVE_INFINITY])('a median of %d weeks is refused', (medianWeeks) => {
    expect(() => weibullOf({ medianWeeks, shape: 2 })).toThrow(RangeError)
  })
})
