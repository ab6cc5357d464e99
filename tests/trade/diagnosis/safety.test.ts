// What somebody who tried the tables found wrong in them, safety first. Common practice, no source; the project's corrections stand above the tables.
import { describe, expect, test } from 'vitest'
import { nextCheck } from '@/lib/science/diagnosis'
import { type FaultFamily, faultFamilies, findFamily, modelOf } from '@/lib/trade/diagnosis'
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
