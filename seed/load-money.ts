import { type Actor, inBusiness } from '@/lib/office/frame/actor'
import { addDays, daysBetween } from '@/lib/office/frame/days'
import { creditInvoice, issueInvoice, makeDrafts, recordPayment } from '@/lib/office/money/commands'
import { demoId } from './demo-ids'
import { applied, fewAtATime } from './expect'
import type { DemoPlan } from './plan'
import { SeededRandom } from './seeded-random'

/** Of the newest month this many drafts wait for a look. */
const DRAFTS_WAITING = 4
const REMITTANCES = ['bank transfer', 'bank transfer', 'bank transfer', 'card']

/** Drafts for the last two months, issued on the first of the next; most paid, some in part, some not, some overdue. On the first of a month only the older are. */
export async function loadMoney(owner: Actor, accountant: Actor, plan: DemoPlan, signal?: AbortSignal): Promise<void> {
  const { today, now } = plan.calendar
  const nowMs = now.getTime()
  const { businessId } = owner
  const months = [2, 1].map((before) => monthsBefore(today, before))
  const random = new SeededRandom(plan.seed + 5)
  const payments: Payment[] = []
  for (const [place, month] of months.entries()) {
    signal?.throwIfAborted()
    const input = { id: demoId(nowMs, `drafts ${month}`), businessId, through: month, since: months[0] ?? month }
    const { invoiceIds } = applied(`bill ${month}`, await makeDrafts(owner, input))
    const drafts = await readDrafts(owner, invoiceIds)
    const isNewest = place === months.length - 1
    const issuedOn = `${monthsBefore(today, months.length - place - 1)}-01`
    const ready = drafts.filter(({ needsOrder }) => !needsOrder)
    for (const draft of isNewest ? ready.slice(0, -DRAFTS_WAITING) : ready) {
      signal?.throwIfAborted()
      const id = demoId(nowMs + place, `issue ${month} ${draft.key}`)
      const seen = {
        id,
        businessId,
        invoiceId: draft.id,
        issuedOn,
        expectedGrossMinor: draft.grossMinor,
        earlierDayAccepted: false,
      }
      const issued = applied(`issue ${month}`, await issueInvoice(owner, seen))
      payments.push(...paymentsOf(random, { ...issued, key: `${month} ${draft.key}`, issuedOn }, today))
    }
  }
  const record = async ({ key, ...payment }: Payment) => {
    const id = demoId(nowMs + 60_000, `payment ${key}`)
    const paid = await recordPayment(accountant, {
      ...payment,
      id,
      businessId,
      overpaymentAccepted: false,
      longAgoAccepted: true,
    })
    applied(`record a payment of ${key}`, paid)
  }
  await fewAtATime(payments, record, signal)
  await creditOneLine(owner, nowMs, payments[3]?.invoiceId ?? '')
}

type Payment = { key: string; invoiceId: string; receivedOn: string; amount: string; method: string; reference: string }
type Issued = { invoiceId: string; number: string; grossMinor: number; key: string; issuedOn: string }

/** Nine in ten pay whole within five weeks; a few pay half; a few have not paid yet. */
function paymentsOf(
  random: SeededRandom,
  { invoiceId, number, grossMinor, key, issuedOn }: Issued,
  today: string,
): Payment[] {
  const draw = random.next()
  const receivedOn = addDays(issuedOn, random.integer(3, 33))
  const method = random.choice(REMITTANCES)
  if (daysBetween(receivedOn, today) < 0 || grossMinor <= 0) return []
  // Old debts are rare: what is unpaid is mostly of the last two months.
  const isOld = daysBetween(issuedOn, today) > 70
  if (draw > (isOld ? 0.985 : 0.86)) return []
  const amountMinor = draw > (isOld ? 0.975 : 0.82) ? Math.floor(grossMinor / 2) : grossMinor
  return [{ key, invoiceId, receivedOn, amount: (amountMinor / 100).toFixed(2), method, reference: number }]
}

type Draft = { id: string; key: string; grossMinor: number; needsOrder: boolean }

/** Drafts in the order of their payers, for the ids of invoices are drawn by the command. */
async function readDrafts(owner: Actor, invoiceIds: string[]): Promise<Draft[]> {
  const rows = await inBusiness(owner, (tx) =>
    tx.invoice.findMany({
      where: { businessId: owner.businessId, id: { in: invoiceIds } },
      select: {
        id: true,
        clientId: true,
        grossMinor: true,
        purchaseOrder: true,
        client: { select: { purchaseOrderNeeded: true } },
      },
      orderBy: [{ clientId: 'asc' }, { purchaseOrder: 'asc' }],
    }),
  )
  return rows.map(({ id, clientId, grossMinor, purchaseOrder, client }) => ({
    id,
    key: `${clientId} ${purchaseOrder}`,
    grossMinor,
    needsOrder: client.purchaseOrderNeeded && purchaseOrder === '',
  }))
}

/** A visit was promised and not made: a part of one month is given back. The draft waits for the owner. */
async function creditOneLine(owner: Actor, nowMs: number, invoiceId: string): Promise<void> {
  const { businessId } = owner
  const line = await inBusiness(owner, (tx) =>
    tx.invoiceLine.findFirst({ where: { businessId, invoiceId }, orderBy: { position: 'asc' }, select: { id: true } }),
  )
  if (!line) return
  const reason = 'One visit of the month was not made; a quarter of the fee is given back.'
  const lines = [{ lineId: line.id, quantity: '0.25', effect: 'waive' as const }]
  const input = { id: demoId(nowMs, 'credit'), businessId, invoiceId, reason, lines }
  applied('credit a line', await creditInvoice(owner, input))
}

/** "2026-10" for a day in November 2026 and 1. */
function monthsBefore(day: string, months: number): string {
  const [year = 0, month = 0] = day.split('-').map(Number)
  return new Date(Date.UTC(year, month - 1 - months, 1)).toISOString().slice(0, 7)
}
