/** The properties that may drive a need, and whether these lives can say anything of each. */
import type { Observation } from '@/lib/science'

/** A life with what is known around it. */
export type DriverLife = {
  tank: string
  observation: Observation
  event: boolean
  hasStringyRefugium: boolean
  hasFineSand: boolean
  isHeavilyStocked: boolean
  hasFurryPets: boolean
  hasHardTapWater: boolean
  isNearKitchenOrSmoke: boolean
  /** Years at the renewal; null: nobody knows when the device was installed. */
  deviceAgeYears: number | null
  /** No general clean (work that renews three faults or more) of the device in the half year before the life began; null: not long enough with us. */
  generalCleanOverdue: boolean | null
  visitEveryDays: number
  /** Who did the work that began the life: known at its first day. Who looked at its end is not, for every running life ends at its last look, whoever made that. */
  renewedBy: string | null
}

export type Candidate = {
  key: string
  /** Begins the sentence: "With a stringy refugium". */
  label: string
  isNumber: boolean
  /** The same for every life of a tank. */
  ofTank: boolean
  valueIn: (life: DriverLife) => number | null
}

/** Needs for each property tried, tanks and needs on either side, and the share of lives of which it must be known. Common practice, no source. */
const EVENTS_EACH = 10
const TANKS_EACH_SIDE = 3
const EVENTS_EACH_SIDE = 3
const SHARE_KNOWN = 0.8

const yes = (value: boolean) => (value ? 1 : 0)
const tankProperty = (key: string, label: string, holds: (life: DriverLife) => boolean): Candidate => ({
  key,
  label,
  isNumber: false,
  ofTank: true,
  valueIn: (life) => yes(holds(life)),
})

const FIXED: readonly Candidate[] = [
  tankProperty('stringy-refugium', 'With a stringy refugium', (life) => life.hasStringyRefugium),
  tankProperty('fine-sand', 'With fine sand', (life) => life.hasFineSand),
  tankProperty('heavily-stocked', 'In a heavily stocked tank', (life) => life.isHeavilyStocked),
  tankProperty('furry-pets', 'With furry pets in the house', (life) => life.hasFurryPets),
  tankProperty('hard-tap-water', 'With hard tap water', (life) => life.hasHardTapWater),
  tankProperty('kitchen-or-smoke', 'Near a kitchen or smoke', (life) => life.isNearKitchenOrSmoke),
  {
    ...{ key: 'device-age', label: 'For each year of the device’s age', isNumber: true, ofTank: false },
    valueIn: (life) => life.deviceAgeYears,
  },
  {
    ...{ key: 'general-clean', label: 'Without a general clean in half a year', isNumber: false, ofTank: false },
    valueIn: ({ generalCleanOverdue }) => (generalCleanOverdue === null ? null : yes(generalCleanOverdue)),
  },
  {
    ...{ key: 'cadence', label: 'For each doubling of the time between visits', isNumber: true, ofTank: true },
    valueIn: (life) => Math.log2(life.visitEveryDays),
  },
]

/** All properties worth trying on these lives: the fixed ones, and who did the work, each person against the one who did it most. */
export function candidatesOf(lives: readonly DriverLife[], nameOf: (person: string) => string): Candidate[] {
  const done = new Map<string, number>()
  for (const { renewedBy } of lives) if (renewedBy) done.set(renewedBy, (done.get(renewedBy) ?? 0) + 1)
  const [most, ...others] = [...done].sort((one, other) => other[1] - one[1] || (one[0] < other[0] ? -1 : 1))
  return [
    ...FIXED,
    ...others.map(
      ([person]): Candidate => ({
        key: `renewed-by:${person}`,
        label: `Done by ${nameOf(person)}, not ${nameOf(most?.[0] ?? '')},`,
        isNumber: false,
        ofTank: false,
        valueIn: ({ renewedBy }) => (renewedBy === null ? null : yes(renewedBy === person)),
      }),
    ),
  ]
}

/** Splits the candidates: those these lives can tell of, the ones with most to go by first, and the others with the reason in words. */
export function testableOf(lives: readonly DriverLife[], candidates: readonly Candidate[]) {
  const notTested: { key: string; label: string; why: string }[] = []
  const strong: { candidate: Candidate; support: number }[] = []
  for (const candidate of candidates) {
    const { why, support } = supportOf(lives, candidate)
    if (why === null) strong.push({ candidate, support })
    else notTested.push({ key: candidate.key, label: candidate.label, why })
  }
  strong.sort((one, other) => other.support - one.support || (one.candidate.key < other.candidate.key ? -1 : 1))
  const room = Math.floor(lives.filter(({ event }) => event).length / EVENTS_EACH)
  for (const { candidate } of strong.slice(room))
    notTested.push({
      key: candidate.key,
      label: candidate.label,
      why: `too few needs: ${EVENTS_EACH} for each property tried`,
    })
  return { testable: strong.slice(0, room).map(({ candidate }) => candidate), notTested }
}

function supportOf(
  lives: readonly DriverLife[],
  { valueIn, isNumber }: Candidate,
): { why: string | null; support: number } {
  const known = lives.filter((life) => valueIn(life) !== null)
  const no = (why: string) => ({ why, support: 0 })
  if (known.length < SHARE_KNOWN * lives.length) return no('not known for enough of these lives')
  const side = (value: number) => {
    const on = known.filter((life) => valueIn(life) === value)
    return { tanks: new Set(on.map(({ tank }) => tank)).size, events: on.filter(({ event }) => event).length }
  }
  if (isNumber) {
    const values = new Set(known.map(valueIn))
    if (values.size < 2) return no('the same everywhere')
    const tanks = new Set(known.map(({ tank }) => tank)).size
    if (tanks < 2 * TANKS_EACH_SIDE) return no('too few tanks')
    return { why: null, support: known.filter(({ event }) => event).length / 4 }
  }
  const [having, lacking] = [side(1), side(0)]
  if (having.tanks === 0) return no('no tank here has it')
  if (lacking.tanks === 0) return no('every tank here has it')
  if (having.tanks < TANKS_EACH_SIDE || lacking.tanks < TANKS_EACH_SIDE) return no('fewer than three tanks on one side')
  if (having.events < EVENTS_EACH_SIDE || lacking.events < EVENTS_EACH_SIDE) return no('hardly a need on one side yet')
  return { why: null, support: Math.min(having.events, lacking.events) }
}
