import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type CommandContext, defineCommand } from '../frame/command'
import { asDay } from '../frame/days'
import { done, refused } from '../frame/result'
import { chargeText, readChargeText } from './charge'
import { changedItems, draftChanges } from './draft-changes'
import { proposeDrafts } from './draft-lines'
import { totalColumns, writeLines } from './draft-rows'
import { lockBilling, lockDraft, MONEY, noSuchInvoice } from './money-command'
import { partMonthWords } from './month-lines'
import { monthOf } from './months'
import { readCharges } from './read-charges'
import { oneDraftSchema } from './schema'
import { readInvoice, type StoredInvoice, storedLines } from './stored-document'

/** The charges that the tanks of a draft, or of several, may have open, through the last month of their lines. */
function chargesOfDrafts(tx: Transaction, businessId: string, drafts: readonly StoredInvoice[]) {
  const invoiceLines = drafts.flatMap((draft) => draft.invoiceLines)
  const tankIds = [...new Set(invoiceLines.flatMap(({ tankId }) => tankId ?? []))]
  const through = invoiceLines
    .flatMap(({ serviceEnd }) => (serviceEnd ? monthOf(asDay(serviceEnd)) : []))
    .sort()
    .at(-1)
  if (through === undefined || tankIds.length === 0) return null
  return readCharges(tx, businessId, { through, tankIds })
}

/** What the records say otherwise by now than this draft, and its months in part; empty for an issued invoice and for a credit note. */
export async function readDraftChanges(tx: Transaction, draft: StoredInvoice) {
  const isInvoice = draft.state === 'draft' && draft.documentType === 'invoice'
  const work = isInvoice ? await chargesOfDrafts(tx, draft.businessId, [draft]) : null
  if (work === null) return { changes: [], partMonths: [] }
  const partMonths = work.items.flatMap((item) => {
    const isHere = item.of === 'month' && item.standing.draftId === draft.id
    return isHere ? (partMonthWords(item.month, item.billables[0]?.placeName ?? '') ?? []) : []
  })
  return { changes: draftChanges(work, draft.id), partMonths }
}

/** Which of some drafts say otherwise than the records by now; their charges are read once for all. */
export async function readStale(tx: Transaction, businessId: string, drafts: readonly StoredInvoice[]) {
  const invoices = drafts.filter(({ documentType }) => documentType === 'invoice')
  const work = await chargesOfDrafts(tx, businessId, invoices)
  if (work === null) return new Set<string>()
  return new Set(invoices.flatMap(({ id }) => (draftChanges(work, id).length > 0 ? [id] : [])))
}

/** Lines of a draft whose visit, part or month was put right since are written anew from the records; the others stay as they are. */
export const takeNewFigures = defineCommand(
  { ...MONEY, kind: 'invoice.take-new-figures', schema: oneDraftSchema },
  async (context, { invoiceId }) => {
    const { tx, actor, audit } = context
    const { businessId } = actor
    const refusal = await lockDraft(context, invoiceId)
    if (refusal) return refusal
    await lockBilling(context)
    const draft = await readInvoice(tx, businessId, invoiceId)
    if (!draft) return noSuchInvoice()
    const work = await chargesOfDrafts(tx, businessId, [draft])
    const changed = work === null ? [] : changedItems(work, invoiceId)
    if (changed.length === 0) return refused('already-so', 'The draft says what the records say.')
    const keys = await takeOff(context, invoiceId, new Set(changed.map(({ standing }) => chargeText(standing.charge))))
    const anew = await chargesOfDrafts(tx, businessId, [draft])
    const items = (anew?.items ?? []).filter(({ standing }) => keys.has(chargeText(standing.charge)))
    const proposals = proposeDrafts({ items, payers: anew?.payers ?? [] })
    const own = proposals.filter(({ payerId, currency }) => payerId === draft.clientId && currency === draft.currency)
    const lines = own.flatMap((proposal) => proposal.lines)
    const place = { invoiceId, clientId: draft.clientId, purchaseOrder: draft.purchaseOrder }
    const after = Math.max(0, ...draft.invoiceLines.map(({ position }) => position))
    await writeLines(context, { ...place, after }, { lines, currency: draft.currency })
    const whole = await readInvoice(tx, businessId, invoiceId)
    const totals = totalColumns(draft.currency, whole ? storedLines(whole) : [])
    if (!totals) return refused('does-not-fit', 'The total is too large. Look for a price or quantity too high.')
    const where = { businessId_id: { businessId, id: invoiceId } }
    await tx.invoice.update({ where, data: totals.columns })
    await audit('invoice', invoiceId, 'new-figures', draft, whole)
    return done({ invoiceId, lines: lines.length })
  },
)

/** Takes off every line that bills one of these charges; answers all charges that are free by that. */
async function takeOff({ tx, actor }: CommandContext, invoiceId: string, changed: ReadonlySet<string>) {
  const { businessId } = actor
  const rows = await tx.chargeLine.findMany({ where: { businessId, line: { invoiceId } }, include: { line: true } })
  const keyed = rows.map((row) => ({ lineId: row.lineId, key: `${row.kind} ${row.subjectId} ${row.period}` }))
  const survivors = await tx.tank.findMany({
    where: { businessId, mergedIntoId: { not: null } },
    select: { id: true, mergedIntoId: true },
  })
  const homes = new Map(survivors.map(({ id, mergedIntoId }) => [id, mergedIntoId ?? id]))
  const home = (text: string) => {
    const key = readChargeText(text)
    return chargeText({ ...key, subjectId: homes.get(key.subjectId) ?? key.subjectId })
  }
  const lineIds = new Set(keyed.flatMap(({ lineId, key }) => (changed.has(home(key)) ? [lineId] : [])))
  await tx.invoiceLine.deleteMany({ where: { businessId, id: { in: [...lineIds] } } })
  return new Set(keyed.flatMap(({ lineId, key }) => (lineIds.has(lineId) ? [home(key)] : [])))
}
