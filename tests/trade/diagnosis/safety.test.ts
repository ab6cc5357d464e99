// What somebody who tried the tables found wrong in them, safety first. Common practice, no source; the project's corrections stand above the tables.
import { describe, expect, test } from 'vitest'
import { nextCheck } from '@/lib/science/diagnosis'
import { type FaultFamily, familiesFor, faultFamilies, findFamily, modelOf } from '@/lib/trade/diagnosis'
import type { FaultPlace } from '@/lib/trade/diagnosis/model-of'

function familyOf(slug: string): FaultFamily {
  const family = findFamily(slug)
  if (!family) throw new Error(`${slug} is missing`)
  return family
}
const checkOf = (slug: string, check: string) => {
  const found = familyOf(slug).checks.find((one) => one.slug === check)
  if (!found) throw new Error(`${slug} does not ask ${check}`)
  return found
}
const causeOf = (slug: string, cause: string) => {
  const found = familyOf(slug).causes.find((one) => one.slug === cause)
  if (!found) throw new Error(`${slug} does not know ${cause}`)
  return found
}
const answerOf = (slug: string, check: string, answer: string) => {
  const found = checkOf(slug, check).answers.find((one) => one.slug === answer)
  if (!found) throw new Error(`${slug}/${check} has no answer ${answer}`)
  return found
}
const answersOf = (family: FaultFamily) => family.checks.flatMap(({ answers }) => answers)
/** The first checks proposed, all seen to be as usual. */
function firstChecks(slug: string, count: number, place: FaultPlace = {}): (string | null)[] {
  const model = modelOf(familyOf(slug), place)
  const answers: Record<string, string> = {}
  return Array.from({ length: count }, () => {
    const { check } = nextCheck(model, { answers })
    if (check !== null) answers[check] = checkOf(slug, check).answers.find(({ rest }) => rest)?.slug ?? ''
    return check
  })
}

describe('a search ends where somebody else takes over', () => {
  test('trips empty: no plug goes back in', () => {
    expect(answerOf('residual-current-tripped', 'trips-empty', 'trips')).toMatchObject({ ends: true })
  })
  test('a smell of burning ends the search, wherever it is asked for', () => {
    const burning = faultFamilies.flatMap((family) => answersOf(family).filter(({ words }) => /burning/i.test(words)))
    expect(burning.length).toBeGreaterThanOrEqual(3)
    for (const answer of burning) {
      expect(answer).toMatchObject({ ends: true })
      expect(answer.now).toMatch(/Off at the fuse board or isolator with dry hands\. Electrician\./)
    }
  })
  test('an electrician, or nobody in the room: nothing further', () => {
    for (const family of faultFamilies)
      for (const { now = '', slug, ends } of answersOf(family))
        if (/Electrician|Nobody works here/.test(now)) expect(ends, `${family.slug}/${slug}`).toBe(true)
  })
  test('an answer that ends says what to do', () => {
    for (const family of faultFamilies)
      for (const { now, ends, slug } of answersOf(family)) if (ends) expect(now, `${family.slug}/${slug}`).toBeTruthy()
  })
  test('residual-current: smell before a plug is touched, and before the reset', () => {
    expect(firstChecks('residual-current-tripped', 1)).toEqual(['smell'])
    for (const check of familyOf('residual-current-tripped').checks.filter(({ slug }) => slug !== 'smell'))
      expect([
        ...check.after,
        ...check.after.flatMap((slug) => checkOf('residual-current-tripped', slug).after),
      ]).toContain('smell')
  })
})

describe('mains near water: the caution stands beside', () => {
  const LIVE_AND_WET =
    /cracked|misted|\bheater dead|stuck on|wet (?:plug|sensor)|sockets?\b|\bpins?\b|pump or its cable|puddle|damp|floor wet|water on the floor|the floor and the levels|plug meter|left off/i
  const WORKS_IN_IT =
    /wipe the sensor|clear the weir|replace the (?:pump|heater|solenoid|light)|pad what touches|probe back/i
  test.each(faultFamilies.map((family) => [family.slug, family] as const))('%s', (slug, family) => {
    const shownAt = (step: { needs: readonly string[]; cautions: readonly string[] }) => [
      ...step.cautions,
      ...family.setUps.filter((setUp) => step.needs.includes(setUp.slug)).flatMap(({ cautions }) => cautions),
    ]
    const steps = [
      ...family.causes.map((cause) => ({ ...cause, text: `${cause.name}. ${cause.remedy}` })),
      ...family.checks.map((check) => ({ ...check, text: check.question })),
      ...family.setUps.map((setUp) => ({ ...setUp, text: setUp.name })),
    ]
    for (const { text, ...step } of steps) {
      if (LIVE_AND_WET.test(text)) expect(shownAt(step), `${slug}/${step.slug}: ${text}`).toContain('wet-electrics')
      if (WORKS_IN_IT.test(text)) expect(shownAt(step), `${slug}/${step.slug}: ${text}`).toContain('plug-out')
    }
  })
  test('the cracked heater, and every step that needs all plugs out in the wet', () => {
    const family = familyOf('residual-current-tripped')
    expect(family.setUps.find(({ slug }) => slug === 'all-out')?.cautions).toContain('wet-electrics')
    expect(causeOf('residual-current-tripped', 'heater').needs).toContain('all-out')
  })
  test('in water on the floor every remedy carries it, by itself or by its set-up', () => {
    const family = familyOf('water-on-the-floor')
    const around = (needs: readonly string[]) =>
      family.setUps.filter(({ slug }) => needs.includes(slug)).flatMap(({ cautions }) => cautions)
    for (const { slug, last, cautions, needs } of family.causes)
      if (!last) expect([...cautions, ...around(needs)], slug).toContain('wet-electrics')
    for (const { slug, cautions } of family.checks) expect(cautions, slug).toContain('wet-electrics')
  })
})

describe('no step contradicts another', () => {
  test('top-up often: floor and cup first; whether it stops is seen with the top-up on, after the wipe', () => {
    const { firstSteps } = familyOf('top-up-often')
    expect(firstSteps.map(({ text }) => text).join(' ')).toMatch(/^Floor and cup first/)
    expect(firstSteps.map(({ text }) => text).join(' ')).not.toMatch(/top-up off/i)
    expect(checkOf('top-up-often', 'sensor').question).toMatch(/^Plug out, wipe.*plug in again: does the top-up stop/)
    expect(checkOf('top-up-often', 'sensor').needs).toEqual(['plug-out'])
    expect(firstChecks('top-up-often', 1)).toEqual(['floor-and-cup'])
  })
  test('after a power cut: floor and smell, then what does not run, then the clocks', () => {
    expect(firstChecks('after-a-power-cut', 3)).toEqual(['floor', 'running', 'clocks'])
    expect(checkOf('after-a-power-cut', 'floor').question).toMatch(/wet.*smell/)
  })
  test('an alarm of temperature goes on with too warm or too cold, as a second thermometer says', () => {
    expect(familyOf('alarm-rang').causes.map(({ leadsTo }) => leadsTo)).toEqual(
      expect.arrayContaining(['temperature-high', 'temperature-low']),
    )
    const model = modelOf(familyOf('alarm-rang'), { tankKind: 'reef' })
    const at = (answer: string) => nextCheck(model, { answers: { which: 'temperature', 'second-look': answer } }).cure
    expect(at('cold')).toBe('temperature-low')
    expect(at('warm')).toBe('temperature')
    expect(modelOf(familyOf('alarm-rang'), { tankKind: 'cold-water' }).causes.map(({ slug }) => slug)).not.toContain(
      'temperature-low',
    )
  })
  // MMWR 2015;64:852, as the caution palytoxin has it: no hot water, no brushing or scraping out of the water, no vacuum.
  test('where palytoxin may be, nothing is brushed out of the water', () => {
    for (const family of faultFamilies)
      for (const { slug, remedy } of family.causes.filter((cause) => cause.cautions.includes('palytoxin'))) {
        if (/brush|scrap/i.test(remedy))
          expect(remedy, slug).toMatch(/brush under water.*Anemones: keep them wet.*no brush/)
        expect(remedy, slug).not.toMatch(/hot water|vacuum/i)
      }
    expect(answerOf('skimmer-unsteady', 'body', 'anemones').now).toMatch(/Gloves.*wet, no brushing/)
  })
})

describe('what must run for a check', () => {
  test('nothing in it, before it or in its family stands still', () => {
    const running = faultFamilies.flatMap((family) =>
      family.checks.filter((check) => check.running).map((check) => ({ family, check })),
    )
    expect(running.length).toBeGreaterThan(0)
    for (const { family, check } of running) {
      const where = `${family.slug}/${check.slug}`
      expect(check.needs, where).toEqual([])
      expect(check.question, where).not.toMatch(/\b(?:plug out|(?:top-up|return|pump|heater|skimmer) off|bucket)\b/i)
      for (const { text } of family.firstSteps) expect(text, where).not.toMatch(/\b(?:off|plug out)\b/i)
      // Whatever says "off now" comes after all that must be seen running.
      for (const other of family.checks.filter((one) => one !== check))
        if (other.answers.some(({ now = '' }) => /\b(?:off|plug out|lower)\b/i.test(now)))
          expect(other.after, where).toContain(check.slug)
    }
  })
  test('the outlet and the restart say themselves what runs', () => {
    expect(checkOf('return-flow-low', 'outlet-free')).toMatchObject({ running: false, needs: ['plug-out'] })
    expect(checkOf('water-on-the-floor', 'restart').running).toBe(false)
    expect(checkOf('water-on-the-floor', 'restart').question).toMatch(/^Only with sockets dry and levels safe/)
  })
  test('a leaking seam is not tried again', () => {
    expect(answerOf('water-on-the-floor', 'tissue', 'seam')).toMatchObject({ ends: true })
    expect(answerOf('water-on-the-floor', 'tissue', 'seam').now).toMatch(/^Heater plug out, then lower the water/)
    expect(checkOf('water-on-the-floor', 'restart').after).toContain('tissue')
  })
})

test.each([
  ['temperature-high', 'heater-stuck'],
  ['temperature-low', 'heater-dead'],
  ['residual-current-tripped', 'heater'],
])('%s: a heater at fault is fixed only by the exchange', (slug, cause) => {
  const found = causeOf(slug, cause)
  expect(found.task).toBe('heater/replace')
  expect(found.remedy).toMatch(/^Replace the heater: its plug stays out until the new one hangs in the tank/)
})

describe('too warm', () => {
  test('second thermometer, lamp of the heater, then the room', () => {
    for (const place of [{}, { tankKind: 'reef', fitted: ['heater', 'chiller'] }] as const)
      expect(firstChecks('temperature-high', 3, place)).toEqual(['second-thermometer', 'lamp', 'room'])
    expect(firstChecks('temperature-high', 2, { fitted: [] })).toEqual(['second-thermometer', 'room'])
  })
  test('a warm room is not put right before the lamp was looked at', () => {
    const model = modelOf(familyOf('temperature-high'))
    const next = nextCheck(model, { answers: { 'second-thermometer': 'high', room: 'warm' } })
    expect(next).toMatchObject({ check: 'lamp', cure: null })
    const dark = nextCheck(model, { answers: { 'second-thermometer': 'high', room: 'warm', lamp: 'dark' } })
    expect(dark.cure).toBe('room')
  })
})

test.each([
  ['reef', 'salt-or-fresh'],
  ['freshwater-community', 'tank-or-tap'],
] as const)('water on the floor, %s: %s before anything is dried, and never by mouth', (tankKind, check) => {
  expect(firstChecks('water-on-the-floor', 2, { tankKind })).toEqual([check, 'levels'])
  expect(checkOf('water-on-the-floor', check).question).toMatch(/before anything is dried.*Never taste it/)
  // No cure and no tissue before it: what dries or bails comes after the levels, and these after the puddle.
  for (const answer of ['sump-high', 'cup-full', 'both-low', 'at-marks'])
    expect(
      nextCheck(modelOf(familyOf('water-on-the-floor'), { tankKind }), { answers: { levels: answer } }),
    ).toMatchObject({
      check,
      cure: null,
    })
})

test('not found: who looks again, and when', () => {
  // Common practice, no source; 24 to 72 hours for a skimmer that overflows stands in its own last words.
  const DAYS: Record<string, number> = {
    'fish-breathing-fast': 1,
    'water-on-the-floor': 1,
    'residual-current-tripped': 1,
    'skimmer-overflows': 2,
    'skimmer-unsteady': 3,
    'alkalinity-falling': 3,
    'sump-noise': 7,
    'return-flow-low': 7,
  }
  for (const [slug, days] of Object.entries(DAYS)) expect(familyOf(slug).lookAgainDays, slug).toBe(days)
  for (const { slug, lookAgainDays } of faultFamilies) {
    expect(Number.isInteger(lookAgainDays), slug).toBe(true)
    expect(lookAgainDays, slug).toBeGreaterThan(0)
    expect(lookAgainDays, slug).toBeLessThanOrEqual(7)
  }
})

describe('which signs, and in which order', () => {
  const slugsFor = (place: Parameters<typeof familiesFor>[0]) => familiesFor(place).map(({ slug }) => slug)
  test('no sump, no signs of a sump', () => {
    for (const slug of ['sump-noise', 'sump-level-off']) {
      expect(slugsFor({ tankKind: 'planted', fitted: ['external-filter', 'heater'] })).not.toContain(slug)
      for (const one of ['return-pump', 'protein-skimmer', 'auto-top-up', 'overflow-and-plumbing'])
        expect(slugsFor({ fitted: ['heater', one] }), one).toContain(slug)
      expect(slugsFor({})).toContain(slug)
    }
  })
  test('what can hurt or kill today comes first', () => {
    expect(slugsFor({}).slice(0, 4)).toEqual([
      'water-on-the-floor',
      'residual-current-tripped',
      'after-a-power-cut',
      'fish-breathing-fast',
    ])
  })
  test('no answer says again that it cannot be told here', () => {
    for (const family of faultFamilies)
      for (const { words, slug } of answersOf(family))
        expect(words, `${family.slug}/${slug}`).not.toMatch(/cannot tell/i)
  })
})
