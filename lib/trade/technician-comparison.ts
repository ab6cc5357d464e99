/** Two technicians on the same tanks: how often each found a need when looking. Shown, never corrected for. */
import { benjaminiHochberg, type MantelHaenszel, mantelHaenszel } from '@/lib/science'

/** Looks of one person at one tank × mode that were deep enough to mean something, and how many of them found a need. */
export type PersonLooks = {
  tank: string
  equipment: string
  mode: string
  person: string
  /** Weeks since the look before, rounded; left out where nobody knows. Whoever comes after a longer gap finds more. */
  gapWeeks?: number | null
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
  /** Share of looks that find a need, of each, as if both had looked at the same mix of things: comparable where the counts above are not. */
  onesShare: number
  othersShare: number
  /** Odds that `one` finds a need, over the odds of `other`, on the same tank × mode. */
  ratio: MantelHaenszel | null
  /** Further apart than chance allows, held against all the pairs that are compared. */
  differ: boolean
  words: string
}

const COMPARISON_LEVEL = 0.95
const LOOKS_NEEDED = 20
/** Of the pairs that are said to differ at most this share is wrong: six people make fifteen pairs, of which one would differ by chance. */
const FALSE_DISCOVERY_RATE = 0.05

/**
 * Compares each two people over the tanks × modes that both have looked at: Mantel–Haenszel odds ratio, one table a tank × mode × weeks since the look before, with the
 * interval of Robins, Breslow and Greenland; which pairs differ is told by the test of Mantel and Haenszel with Benjamini–Hochberg over the pairs. Looks at what only one of them has seen are left out, so that nobody answers for a hard round.
 * Pairs with fewer than 20 shared looks each are left out. Sorted by names of people.
 */
export function comparePeople(looks: readonly PersonLooks[], nameOf: (person: string) => string): PairOfPeople[] {
  const byStratum = new Map<string, Map<string, LookShare>>()
  for (const { tank, equipment, mode, person, gapWeeks, ...made } of looks) {
    const key = `${tank} ${equipment} ${mode} ${gapWeeks ?? ''}`
    const people = byStratum.get(key) ?? new Map<string, LookShare>()
    const share = people.get(person) ?? { looks: 0, found: 0 }
    people.set(person, { looks: share.looks + made.looks, found: share.found + made.found })
    byStratum.set(key, people)
  }
  const people = [...new Set(looks.map((look) => look.person))].sort((a, b) => (nameOf(a) + a < nameOf(b) + b ? -1 : 1))
  const pairs = people.flatMap((one, place) =>
    people.slice(place + 1).flatMap((other) => comparePair(one, other, [...byStratum.values()]) ?? []),
  )
  const { rejected } = benjaminiHochberg(
    pairs.map(({ ratio }) => ratio?.pValue ?? 1),
    FALSE_DISCOVERY_RATE,
  )
  return pairs.map((pair, place) => {
    const differ = rejected[place] ?? false
    return { ...pair, differ, words: pairWords(nameOf(pair.one), nameOf(pair.other), { ...pair, differ }) }
  })
}

function comparePair(
  one: string,
  other: string,
  strata: readonly ReadonlyMap<string, LookShare>[],
): Omit<PairOfPeople, 'differ' | 'words'> | null {
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
  const [onesShare, othersShare] = sharesOnTheSame(shared)
  return { one, other, shared: shared.length, onesLooks, othersLooks, onesShare, othersShare, ratio }
}

/** Each one's share of looks that found a need, tank × mode by tank × mode, weighted as Mantel and Haenszel do: looks × looks / both. */
function sharesOnTheSame(shared: readonly { ones: LookShare; others: LookShare }[]): [number, number] {
  let [ones, others, weights] = [0, 0, 0]
  for (const stratum of shared) {
    const weight = (stratum.ones.looks * stratum.others.looks) / (stratum.ones.looks + stratum.others.looks)
    ones += (weight * stratum.ones.found) / stratum.ones.looks
    others += (weight * stratum.others.found) / stratum.others.looks
    weights += weight
  }
  return [ones / weights, others / weights]
}

function pairWords(
  one: string,
  other: string,
  pair: Pick<PairOfPeople, 'onesShare' | 'othersShare' | 'ratio' | 'differ'>,
): string {
  const of100 = (share: number) => `${Math.round(share * 100)} of 100 looks`
  const counts = `On the same things ${one} finds a need in ${of100(pair.onesShare)}, ${other} in ${of100(pair.othersShare)}`
  if (!pair.differ || !pair.ratio) return `${counts}. That is no more apart than chance allows.`
  const [first, second] = pair.ratio.oddsRatio > 1 ? [one, other] : [other, one]
  return `${counts}. ${first} says “needs it” sooner than ${second}. Neither is wrong: people have different thresholds. Agree on a picture of “needs it”.`
}
