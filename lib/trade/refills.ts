/** Will what is in a container last until the next visit? Pure: days and figures in, an answer with its sentences out. */
import {
  type Consumption,
  chanceLasts,
  consumptionOf,
  daysUntilEmpty,
  intervalsOfUse,
  type LevelIntervals,
  type LevelRecord,
  neededFor,
} from '@/lib/science'
import { ALMOST_SURE } from './certainty'
import type { RefillKind } from './refill-kinds'

export type Container = {
  kind: RefillKind
  label: string
  unit: string
  capacity: number
  /** The level at which it gives nothing any more: the empty weight of a cylinder, what a pump cannot reach. */
  emptyAt: number
  filledBy: 'technician' | 'site-staff'
}

/** `unknown`: too few records. `unused`: nothing was used so far. */
export type RefillVerdict = 'lasts' | 'may-not-last' | 'will-not-last' | 'no-visit' | 'unused' | 'unknown'

export type Refill = {
  verdict: RefillVerdict
  perDay: number | null
  /** What was left, above `emptyAt`, at the last record; and its day. */
  left: number | null
  lastDay: number | null
  /** Day by which it is used up: even odds, and a band that holds it 9 times in 10. `latest` null: later than anyone plans. */
  empty: { day: number; earliest: number; latest: number | null } | null
  /** Chance that it lasts until the next visit. */
  chance: number | null
  intervals: LevelIntervals['intervals']
  leftOut: LevelIntervals['leftOut']
  consumption: Consumption | null
}

/** "Lasts" means nine times in ten. Below this chance it is a thing to decide. */
export const SURE_ENOUGH = 0.9
/** Days by which the next visit may slip, so that a filling to its mark still lasts. */
const MARGIN_DAYS = 3
/** Use changes with the season: only the newest stretches count. */
const NEWEST_INTERVALS = 12
/** A level is read to about a hundredth of the container; a rise of less is a misreading. From memory. */
const READ_TO = 100

/**
 * The answer for one container, with the day of the next visit that can fill it (null: none is known). `chanceOnly` leaves
 * the day by which it is empty out, which takes longer to work out than all the rest.
 */
export function refillOf(
  container: Container,
  records: readonly LevelRecord[],
  nextVisitDay: number | null,
  { chanceOnly = false }: { chanceOnly?: boolean } = {},
): Refill {
  const { capacity, emptyAt } = container
  const resolution = (capacity - emptyAt) / READ_TO
  const seen = intervalsOfUse(records, { emptyAt, tolerance: resolution })
  const intervals = seen.intervals.slice(-NEWEST_INTERVALS)
  const consumption = consumptionOf(intervals, resolution)
  const last = records.at(-1)
  const level = last ? (last.after ?? last.before) : null
  const left = level === null ? null : Math.max(0, level - emptyAt)
  const base = { left, lastDay: last?.day ?? null, intervals, leftOut: seen.leftOut, consumption }
  if (left === 0 && last)
    return {
      ...base,
      ...{ verdict: 'will-not-last', perDay: consumption?.perDay ?? null, chance: 0 },
      empty: { day: last.day, earliest: last.day, latest: last.day },
    }
  if (!consumption || left === null || !last) {
    const nothing = { ...base, perDay: null, empty: null }
    // It ran dry each time: it probably will again, where no more is in it and the visit lies no nearer. How probably, by how often (Jeffreys' prior of a share).
    const days = nextVisitDay === null || !last ? null : nextVisitDay - last.day
    const ranDry = intervals.filter((one) => left !== null && days !== null && one.use >= left && one.days <= days)
    return ranDry.length > 0
      ? { ...nothing, verdict: 'will-not-last', chance: 0.5 / (ranDry.length + 1) }
      : { ...nothing, verdict: 'unknown', chance: null }
  }
  if (intervals.every(({ use }) => use < resolution))
    return { ...base, verdict: 'unused', perDay: 0, empty: null, chance: null }
  const empty = chanceOnly ? null : emptyDay(consumption, left, last.day)
  const known = { ...base, perDay: consumption.perDay, empty }
  if (nextVisitDay === null) return { ...known, verdict: 'no-visit', chance: null }
  const chance = chanceLasts(consumption, left, Math.max(0, nextVisitDay - last.day))
  return { ...known, verdict: verdictOf(chance), chance }
}

function emptyDay(consumption: Consumption, left: number, lastDay: number): Refill['empty'] {
  const { median, lower, upper } = daysUntilEmpty(consumption, left, SURE_ENOUGH)
  if (!Number.isFinite(median)) return null
  return {
    day: lastDay + Math.round(median),
    earliest: lastDay + Math.floor(lower),
    latest: Number.isFinite(upper) ? lastDay + Math.ceil(upper) : null,
  }
}

/** What a chance of lasting amounts to. */
function verdictOf(chance: number): RefillVerdict {
  if (chance >= SURE_ENOUGH) return 'lasts'
  return chance < 0.5 ? 'will-not-last' : 'may-not-last'
}

/**
 * The level to fill to on `today` so that it lasts until the visit after this one and a few days more, nine times in ten.
 * `fits` is false where even a full container does not. Null where nobody can tell.
 */
export function fillTo(
  { capacity, emptyAt }: Container,
  { consumption }: Pick<Refill, 'consumption'>,
  today: number,
  nextVisitDay: number | null,
): { level: number; fits: boolean; untilDay: number } | null {
  if (!consumption || nextVisitDay === null || nextVisitDay <= today) return null
  const untilDay = nextVisitDay + MARGIN_DAYS
  const level = emptyAt + neededFor(consumption, untilDay - today, SURE_ENOUGH)
  return { level: Math.min(level, capacity), fits: level <= capacity, untilDay }
}

type Words = {
  formatDay: (day: number) => string
  today: number
  nextVisitDay: number | null
  visitIsBooked: boolean
}

/** Everything about one container in a few sentences, the answer last. */
export function refillWords(
  container: Container,
  refill: Refill,
  { formatDay, today, nextVisitDay, visitIsBooked }: Words,
): string {
  const { label, unit, filledBy } = container
  const { verdict, perDay, left, lastDay, empty, leftOut } = refill
  if (lastDay === null) return `${label}: no level is known yet. Write one down at the next visit.`
  if (left === null || verdict === 'unknown' || (perDay === null && left > 0)) {
    if (refill.intervals.some(({ kind }) => kind === 'at-least'))
      return `${label}: it was come upon empty each time, so it uses more than it held. ${verdict === 'will-not-last' ? 'It will probably not last again. ' : ''}Put in more or a bigger container, or come sooner.`
    return `${label}: one more reading and we can tell how long it lasts.${leftOutWords(leftOut)}`
  }
  const sayLeft = leftWords(container, left, formatDay(lastDay))
  if (verdict === 'unused') return `${label}: ${sayLeft}, and nothing was used so far. Is it running?`
  const atLeast = filledBy === 'site-staff' ? 'at least ' : 'about '
  const use = perDay === null ? '' : `${atLeast}${figure(perDay)} ${unit} a day; `
  if (left === 0) return `${label}: it was left empty on ${formatDay(lastDay)}. ${advice(container, verdict)}`
  const until =
    empty === null
      ? 'will last for years'
      : `${empty.day < today ? 'should have run out by' : 'will last until'} about ${formatDay(empty.day)} (${formatDay(empty.earliest)} to ${empty.latest === null ? 'no end in sight' : formatDay(empty.latest)}, 9 in 10)`
  const visit =
    nextVisitDay === null
      ? 'No visit is booked and no agreement asks for one.'
      : `Next visit ${formatDay(nextVisitDay)}${visitIsBooked ? '' : ', by the agreement'}: ${chanceWords(refill.chance ?? 0)}.`
  return [`${label}: ${use}${sayLeft} ${until}.`, visit, advice(container, verdict), leftOutWords(leftOut).trim()]
    .filter((part) => part !== '')
    .join(' ')
}

/** What is known of its use, without any answer: for whoever stands before it. */
export function usageWords(
  container: Container,
  { perDay, left, lastDay }: Refill,
  formatDay: (day: number) => string,
): string {
  if (lastDay === null || left === null) return 'No level is known yet.'
  const { unit, filledBy } = container
  const use =
    perDay === null ? '' : `Uses ${filledBy === 'site-staff' ? 'at least' : 'about'} ${figure(perDay)} ${unit} a day. `
  return `${use}${leftWords(container, left, formatDay(lastDay))}.`
}

/** What the pump cannot reach, and the cylinder itself, are no use to anybody. */
function leftWords({ unit, emptyAt }: Container, left: number, day: string): string {
  return `${figure(left)} ${unit} ${emptyAt > 0 ? 'usable' : 'left'} on ${day}`
}

/** How sure it is, without a figure that is more exact than what it rests on. */
function chanceWords(chance: number): string {
  if (chance >= ALMOST_SURE) return 'it will last, almost surely'
  if (chance >= SURE_ENOUGH) return 'it will last, 9 times in 10'
  if (chance >= 0.5) return `it may not last, about ${Math.round((1 - chance) * 10)} in 10 that it runs out first`
  if (chance > 1 - ALMOST_SURE) return 'it will probably not last'
  return 'it will not last, almost surely'
}

function advice({ kind, filledBy }: Container, verdict: RefillVerdict): string {
  if (verdict !== 'will-not-last' && verdict !== 'may-not-last') return ''
  return filledBy === 'site-staff'
    ? 'The people on site fill it: remind them before then.'
    : kind === 'top-up-water'
      ? 'Bring the visit forward, put in a bigger container, or ask the people on site to fill it with RO water from a marked can.'
      : 'Bring the visit forward or put in a bigger container.'
}

function leftOutWords(leftOut: LevelIntervals['leftOut']): string {
  const filled = leftOut.filter(({ why }) => why === 'filled by somebody else').length
  if (filled === 0) return ''
  return ` ${filled === 1 ? 'One stretch is' : `${filled} stretches are`} left out: the level rose without us, so somebody else filled it.`
}

const figure = (value: number) =>
  new Intl.NumberFormat('en-GB', { maximumSignificantDigits: value >= 1000 ? 4 : 2 }).format(value)
