/** Two technicians on the same tanks: how often each found a need when looking. Shown, never corrected for. */
import { type MantelHaenszel, mantelHaenszel } from '@/lib/science'

/** Looks of one person at one tank × mode that were deep enough to mean something, and how many of them found a need. */
export type PersonLooks = {
  tank: string
  equipment: string
  mode: string
  person: string
  looks: number
  found: number
}

export type LookShare = { looks: number; found: number }

export type PairOfPeople = {
  one: string
  other: string
  /** Tank × mode seen by both. */
  shared: number
  onesLooks: LookShare
  othersLooks: LookShare
  /** Odds that `one` finds a need, over the odds of `other`, on the same tank × mode. */
  ratio: MantelHaenszel | null
  /** Whether the interval leaves 1 out. */
  differ: boolean
  words: string
}

export const COMPARISON_LEVEL = 0.95
const LOOKS_NEEDED = 20

/**
 * Compares each two people over the tanks × modes that both have looked at: Mantel–Haenszel odds ratio, one table a tank × mode, with the
 * interval of Robins, Breslow and Greenland. Looks at what only one of them has seen are left out, so that nobody answers for a hard round.
 * Pairs with fewer than 20 shared looks each are left out. Sorted by names of people.
 */
export function comparePeople(looks: readonly PersonLooks[], nameOf: (person: string) => string): PairOfPeople[] {
  const byStratum = new Map<string, Map<string, LookShare>>()
  for (const { tank, equipment, mode, person, ...made } of looks) {
    const key = `${tank} ${equipment} ${mode}`
    const people = byStratum.get(key) ?? new Map<string, LookShare>()
    const share = people.get(person) ?? { looks: 0, found: 0 }
    people.set(person, { looks: share.looks + made.looks, found: share.found + made.found })
    byStratum.set(key, people)
  }
  const people = [...new Set(looks.map((look) => look.person))].sort((a, b) => (nameOf(a) + a < nameOf(b) + b ? -1 : 1))
  return people.flatMap((one, place) =>
    people.slice(place + 1).flatMap((other) => comparePair(one, other, [...byStratum.values()], nameOf) ?? []),
  )
}

function comparePair(
  one: string,
  other: string,
  strata: readonly ReadonlyMap<string, LookShare>[],
  nameOf: (person: string) => string,
): PairOfPeople | null {
  const shared = strata.flatMap((people) => {
    const [ones, others] = [people.get(one), people.get(other)]
    return ones && others ? [{ ones, others }] : []
  })
  const sum = (shares: LookShare[]) => ({
    looks: shares.reduce((total, share) => total + share.looks, 0),
    found: shares.reduce((total, share) => total + share.found, 0),
  })
  const onesLooks = sum(shared.map(({ ones }) => ones))
  const othersLooks = sum(shared.map(({ others }) => others))
  if (Math.min(onesLooks.looks, othersLooks.looks) < LOOKS_NEEDED) return null
  const ratio = mantelHaenszel(
    shared.map(({ ones, others }) => ({
      withBoth: ones.found,
      factorOnly: ones.looks - ones.found,
      outcomeOnly: others.found,
      neither: others.looks - others.found,
    })),
    COMPARISON_LEVEL,
  )
  const differ = ratio !== null && (ratio.lower > 1 || ratio.upper < 1)
  const words = pairWords(nameOf(one), nameOf(other), { onesLooks, othersLooks, ratio, differ })
  return { one, other, shared: shared.length, onesLooks, othersLooks, ratio, differ, words }
}

function pairWords(
  one: string,
  other: string,
  pair: Pick<PairOfPeople, 'onesLooks' | 'othersLooks' | 'ratio' | 'differ'>,
): string {
  const rate = ({ looks, found }: LookShare) => `${found} in ${looks} looks`
  const counts = `On the same tanks ${one} found a need in ${rate(pair.onesLooks)}, ${other} in ${rate(pair.othersLooks)}`
  if (!pair.differ || !pair.ratio) return `${counts}. That is no more apart than chance allows.`
  const [first, second] = pair.ratio.oddsRatio > 1 ? [one, other] : [other, one]
  return `${counts}. ${first} says “needs it” sooner than ${second}. Neither is wrong: people have different thresholds. Agree on a picture of “needs it”.`
}
