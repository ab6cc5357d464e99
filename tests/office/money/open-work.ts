import type { ChargeLine } from '@/lib/office/money/charge'
import type { OpenWork, Payer } from '@/lib/office/money/draft-pieces'
import type { MonthRule } from '@/lib/office/money/month-charge'
import { lastDay, monthAfter, monthOf } from '@/lib/office/money/months'
import { type Agreed, settleWork } from '@/lib/office/money/settle-work'
import type { Billable, PartToBill, VisitToBill } from '@/lib/office/money/work-charge'

/** The facts of a business in memory, as the database's rows would give them. */
export type MemoryFacts = {
  through: string
  payers: readonly Payer[]
  place: Omit<Billable, 'id' | 'payerId'>
  agreements: readonly (Agreed & { tankId: string })[]
  visits: readonly VisitToBill[]
  parts: readonly PartToBill[]
  rule?: MonthRule
  lines?: ReadonlyMap<string, readonly ChargeLine[]>
  waivers?: ReadonlyMap<string, string>
  payerOn?: (tankId: string, clientId: string, day: string) => string
}

const isRunning = ({ startsOn, endsOn }: Agreed, month: string) =>
  startsOn <= lastDay(month) && (endsOn === null || endsOn >= `${month}-01`) && (endsOn === null || endsOn >= startsOn)

/** Every month in which an agreement ran, or that a line bills, up to the one asked for. */
function monthsOf({ agreements, through, lines = new Map() }: MemoryFacts) {
  const months = new Map<string, { tankId: string; period: string }>()
  for (const agreed of agreements)
    for (let month = monthOf(agreed.startsOn); month <= through; month = monthAfter(month))
      if (isRunning(agreed, month)) months.set(`${agreed.tankId} ${month}`, { tankId: agreed.tankId, period: month })
  for (const key of lines.keys()) {
    const [kind, tankId = '', period = ''] = key.split(' ')
    if (kind === 'agreement_month' && period <= through) months.set(`${tankId} ${period}`, { tankId, period })
  }
  return [...months.values()]
}

export function openWork(facts: MemoryFacts): OpenWork {
  const { payers, place, agreements, visits, parts, rule = 'full', lines = new Map(), waivers = new Map() } = facts
  const items = settleWork({
    months: monthsOf(facts),
    agreementsOf: (tankId) => agreements.filter((agreed) => agreed.tankId === tankId),
    payerOn: facts.payerOn ?? ((_tank, clientId) => clientId),
    billableOf: (tankId, _client, payerId) => ({ ...place, tankId, payerId }),
    visits,
    parts,
    hands: [],
    lines,
    waivers,
    rule,
  })
  const covered = visits.filter((visit) => visit.kind === 'routine' && visit.hasFee)
  const withVisits = items.map((item) =>
    item.of === 'month'
      ? {
          ...item,
          visits: covered.filter(
            ({ tankId, date }) => tankId === item.month.subjectId && monthOf(date) === item.month.period,
          ),
        }
      : item,
  )
  return { items: withVisits, payers }
}
