import { type Event, OUTCOMES, PART_NAMES, PAYERS, SITE_OF, type Site, TANKS, type Tank, VISIT_KINDS } from './events'

/** The same numbers for the same seed: xorshift of 32 bits (Marsaglia 2003). */
function randomOf(seed: number) {
  let state = (seed * 2_654_435_761) >>> 0 || 1
  const next = () => {
    state ^= state << 13
    state >>>= 0
    state ^= state >>> 17
    state ^= state << 5
    state >>>= 0
    return state / 4_294_967_296
  }
  for (let warm = 0; warm < 20; warm += 1) next()
  return {
    next,
    whole: (from: number, to: number) => from + Math.floor(next() * (to - from + 1)),
    chance: (of: number) => next() < of,
    one: <Item>(items: readonly Item[]): Item => {
      const item = items[Math.floor(next() * items.length)]
      if (item === undefined) throw new Error('nothing to choose from')
      return item
    },
  }
}

const dayAfter = (day: string, days: number) => {
  const date = new Date(`${day}T00:00:00Z`)
  date.setUTCDate(date.getUTCDate() + days)
  return date.toISOString().slice(0, 10)
}

export const FIRST_MONTH = '2022-01'

/**
 * `months` months of a business with three tanks: agreements that begin, end and change in mid-month, also with effect from days gone by,
 * gaps, payers that change, visits of every kind and outcome, corrections, parts; bills each month or so, credits, waivers.
 */
export function randomHistory(seed: number, months = 38): Event[] {
  const random = randomOf(seed)
  const events: Event[] = []
  const begun = new Map<Tank, string>()
  const ended = new Map<Tank, string | null>()
  const visits: { id: string; month: number }[] = []
  const parts: { id: string; month: number }[] = []
  let made = 0

  const agree = (tank: Tank, day: string) => {
    const earliest = begun.get(tank) ?? day
    const wanted = dayAfter(day, random.one([0, 0, -3, -17, -40, 5, 20]))
    const from = [wanted, earliest].sort().at(-1) ?? day
    const last = ended.get(tank)
    const free = last === undefined || last === null || from > last || begun.get(tank) === undefined
    const feeMinor = random.one([18_000, 18_000, 21_000, 9_999, 12_345, 0])
    // An agreement that ended is followed by another one only after its last day.
    const start = free ? from : dayAfter(last, 1)
    events.push({ does: 'agree', tank, from: start, feeMinor, billNoAccess: random.chance(0.4) })
    begun.set(tank, start)
    ended.set(tank, null)
  }
  for (const tank of TANKS)
    if (random.chance(0.8)) agree(tank, `${FIRST_MONTH}-${String(random.whole(1, 28)).padStart(2, '0')}`)

  for (let at = 0; at < months; at += 1) {
    const month = new Date(Date.UTC(2022, at, 1)).toISOString().slice(0, 7)
    const dayOf = () => `${month}-${String(random.whole(1, 28)).padStart(2, '0')}`
    if (random.chance(0.08)) events.push({ does: 'rule', rule: random.one(['full', 'pro_rata']) })
    for (const tank of TANKS) {
      if (random.chance(0.12)) agree(tank, dayOf())
      const start = begun.get(tank)
      if (start !== undefined && ended.get(tank) === null && random.chance(0.06)) {
        const last = random.chance(0.2) ? dayAfter(start, -1) : dayAfter(dayOf(), random.one([0, -9, 12]))
        if (last >= dayAfter(start, -1)) {
          events.push({ does: 'end', tank, last })
          ended.set(tank, last)
        }
      }
      for (let visit = random.whole(0, 2); visit > 0; visit -= 1) {
        made += 1
        const kind = random.one([...VISIT_KINDS, 'routine', 'routine', 'call_out'] as const)
        const outcome = random.one([...OUTCOMES, 'done', 'done'] as const)
        const id = `v${made}`
        const outOfHours = kind === 'call_out' && random.chance(0.2)
        events.push({ does: 'visit', id, tank, day: dayOf(), kind, outcome, minutes: random.whole(5, 190), outOfHours })
        visits.push({ id, month: at })
      }
      if (random.chance(0.4)) {
        made += 1
        const id = `p${made}`
        const quantity = random.one(['1', '2', '0.5', '12.5', '3.125'])
        const name = random.one(PART_NAMES)
        events.push({ does: 'part', id, tank, day: dayOf(), name, quantity, billable: random.chance(0.8) })
        parts.push({ id, month: at })
      }
    }
    if (random.chance(0.1)) {
      const site: Site = random.one(Object.values(SITE_OF))
      const since = dayAfter(dayOf(), random.one([0, 0, -12, -45, 9]))
      events.push({ does: 'payer', site, since, payer: random.one(PAYERS) })
    }
    const recent = <Thing extends { month: number }>(things: Thing[]) => things.filter((thing) => thing.month >= at - 3)
    if (random.chance(0.3) && recent(visits).length > 0)
      events.push({ does: 'minutes', id: random.one(recent(visits)).id, minutes: random.whole(5, 190) })
    if (random.chance(0.25) && recent(parts).length > 0) {
      const quantity = random.one(['1', '4', '0.125'])
      events.push({ does: 'quantity', id: random.one(recent(parts)).id, quantity, billable: random.chance(0.7) })
    }
    if (random.chance(0.85)) {
      const early = new Date(Date.UTC(2022, at - 1, 1)).toISOString().slice(0, 7)
      events.push({ does: 'bill', through: random.chance(0.2) ? early : month, thrownAway: random.chance(0.1) })
    }
    for (let credit = random.whole(0, 2); credit > 0; credit -= 1)
      events.push({
        does: 'credit',
        pick: random.next(),
        share: random.one([1, 1, 0.5, 0.31, 0.001]),
        effect: random.one(['reopen', 'waive']),
      })
    if (random.chance(0.2)) events.push({ does: 'waive', pick: random.next() })
    if (random.chance(0.12)) events.push({ does: 'take-back', pick: random.next() })
  }
  const last = new Date(Date.UTC(2022, months - 1, 1)).toISOString().slice(0, 7)
  events.push({ does: 'bill', through: last, thrownAway: false })
  return events
}
