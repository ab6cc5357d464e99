import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { dayIn } from '../frame/days'
import { answerTo, type Question } from '../frame/stored-answer'
import { monthOf } from './months'
import { type BillingWindow, readCharges } from './read-charges'
import { type OverBilled, overBilled, type UnbilledGroup, unbilledGroups } from './unbilled-groups'

const UNBILLED_PER_PAGE = 20
/** More payers than this are not chosen one by one: a list to tick would be longer than what it is for. */
const PAYERS_TO_CHOOSE = 100
const OVER_LISTED = 50

type Window = Pick<BillingWindow, 'through' | 'since'>
type Worked = { through: string; groups: UnbilledGroup[]; over: OverBilled[] }

/** What was done and stands on no invoice, up to and with the month that is running, and what was billed too much: all of it is priced to be listed. */
export const UNBILLED: Question<Worked> = {
  name: 'unbilled-work',
  shape: 3,
  freshForMs: 60_000,
  workOut: async (tx, businessId, now) => {
    const { timeZone } = await tx.business.findUniqueOrThrow({
      where: { id: businessId },
      select: { timeZone: true },
    })
    const through = monthOf(dayIn(timeZone, now))
    return work(tx, businessId, { through })
  },
}

/** A page of payers with unbilled work. `madeAt`: when it was worked out, where that was not just now. */
type UnbilledPage = {
  groups: UnbilledGroup[]
  /** Who has something open, once each, of all pages; none where they are too many to choose from. */
  payers: { id: string; name: string }[]
  payerCount: number
  /** The newest of what was billed too much. */
  over: OverBilled[]
  page: number
  perPage: number
  total: number
  madeAt: string | null
}

/** One page of it; null where a large business has it worked out for the first time. Another window than the running month is worked out at once. */
export async function unbilledPage(
  tx: Transaction,
  businessId: string,
  { window, page, now }: { window: Window & { isUsual: boolean }; page: number; now: Date },
): Promise<UnbilledPage | null> {
  const { isUsual, ...asked } = window
  const known = isUsual ? await answerTo(tx, businessId, UNBILLED, now) : null
  if (isUsual && !known) return null
  // On the first of a month the answer may still be of the last one.
  const isThis = known !== null && known.answer.through === asked.through
  const { groups, over } = isThis ? known.answer : await work(tx, businessId, asked)
  const first = (page - 1) * UNBILLED_PER_PAGE
  const payers = payersOf(groups)
  return {
    groups: groups.slice(first, first + UNBILLED_PER_PAGE),
    payers: payers.length > PAYERS_TO_CHOOSE ? [] : payers,
    payerCount: payers.length,
    over: over.slice(0, OVER_LISTED),
    page,
    perPage: UNBILLED_PER_PAGE,
    total: groups.length,
    madeAt: isThis ? known.madeAt : null,
  }
}

async function work(tx: Transaction, businessId: string, { through, since }: Window): Promise<Worked> {
  const open = await readCharges(tx, businessId, { through, since })
  return { through, groups: unbilledGroups(open), over: overBilled(open) }
}

/** Whoever would get a draft, once. */
function payersOf(groups: readonly UnbilledGroup[]) {
  const payers = new Map(
    groups.flatMap(({ payerId, payerName, lineCount }) => (lineCount > 0 ? [[payerId, payerName] as const] : [])),
  )
  return [...payers].map(([id, name]) => ({ id, name }))
}
