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
