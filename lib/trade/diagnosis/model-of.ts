import { type DiagnosisModel, updateCounts } from '@/lib/science/diagnosis'
import type { TankKind } from '../catalogue/types'
import { NOT_FOUND } from './define'
import { CHECK_KINDS, type FaultFamily } from './types'

/**
 * How many cases of one's own weigh as much as the table. Common practice, no source: only the order of the shares is firm, so ten cases are as good.
 */
const TABLE_CASES = 10

/** What is known of the tank. Whatever is left out does not narrow the causes. */
export type FaultPlace = { tankKind?: TankKind; fitted?: readonly string[] }

/**
 * A family as the science wants it, for one tank and after the business's own cases: causes and checks that cannot be here are left out, shares become cases (10 in all), and each case
 * adds one to its cause. A case of a cause that the table does not have counts as "not found, or none of these"; one that cannot be at this tank is left out.
 * @example rankCauses(modelOf(family, { tankKind: 'reef' }, []), {})
 */
export function modelOf(
  family: FaultFamily,
  place: FaultPlace = {},
  cases: readonly { cause: string }[] = [],
): DiagnosisModel {
  const here = (thing: { tankKinds?: readonly TankKind[]; fitted?: string }) =>
    (!thing.tankKinds || !place.tankKind || thing.tankKinds.includes(place.tankKind)) &&
    (!thing.fitted || !place.fitted || place.fitted.includes(thing.fitted))
  const causes = family.causes.filter(here)
  const known = new Set(causes.map(({ slug }) => slug))
  const checks = family.checks.filter(here)
  const asked = new Set(checks.map(({ slug }) => slug))
  const model: DiagnosisModel = {
    causes: causes.map(({ slug, sharePercent, minutes, needs, shownBy, last }) => ({
      slug,
      prior: (sharePercent / 100) * TABLE_CASES,
      minutes,
      needs,
      after: shownBy.filter((check) => asked.has(check)),
      last,
    })),
    checks: checks.map(({ slug, minutes, kind, answers, after, needs, running, hit, hits = {} }) => ({
      slug,
      minutes,
      answers: answers.map((answer) => ({
        slug: answer.slug,
        points: answer.points.filter((cause) => known.has(cause)),
        rest: answer.rest,
      })),
      ...(hit === undefined ? {} : { hit }),
      hits: Object.fromEntries(Object.entries(hits).filter(([cause]) => known.has(cause))),
      after: after.filter((before) => asked.has(before)),
      needs,
      running,
      invasiveness: CHECK_KINDS.indexOf(kind),
    })),
    setUps: family.setUps.map(({ slug, minutes }) => ({ slug, minutes })),
  }
  const ofTable = new Set(family.causes.map(({ slug }) => slug))
  const counted = cases.map(({ cause }) => ({ cause: ofTable.has(cause) ? cause : NOT_FOUND }))
  return updateCounts(
    model,
    counted.filter(({ cause }) => known.has(cause)),
  )
}
