import 'server-only'
import type { Actor } from '../actor'
import { asDbDate } from '../clients/days'
import { done, invalid, refused } from '../result'
import { proposeDrafts } from './draft-lines'
import { taxColumns, totalColumns, writeDraft } from './draft-rows'
import { changeMoney, lockDraft, type MoneyContext, type MoneyResult, noSuchInvoice } from './money-command'
import type { EditDraft, MakeDrafts, OneDraft, StartDraft } from './schema'
import { readUnbilled } from './unbilled'

/**
 * Writes drafts for everything unbilled through a month: one for each payer, currency and purchase order. One at a time
 * in a business, so that a visit, a part and a month of an agreement stand on one invoice only. Work without a price
 * stays unbilled. No work is no error: the list is empty.
 */
export function makeDrafts(actor: Actor, input: MakeDrafts): MoneyResult<{ invoiceIds: string[] }> {
  return changeMoney(actor, { action: 'money.change', kind: 'invoice.make-drafts' }, input, async (context) => {
    const { tx, audit } = context
    await tx.$queryRaw`SELECT pg_advisory_xact_lock(hashtextextended(${`bill ${actor.businessId}`}, 0))::text`
    const work = await readUnbilled(tx, actor.businessId, input)
    const invoiceIds: string[] = []
    for (const proposal of proposeDrafts(work)) {
      const wanted = input.payerIds === undefined || input.payerIds.includes(proposal.payerId)
      if (!wanted || proposal.lines.length === 0) continue
      const invoiceId = await writeDraft(context, proposal)
      await audit('invoice', invoiceId, 'draft', undefined, { proposal })
      invoiceIds.push(invoiceId)
    }
    return done({ invoiceIds })
  })
}

/** An empty draft for a client, for what no visit and no part tells. The invoice's id is the command's. */
export function startDraft(actor: Actor, input: StartDraft): MoneyResult<{ invoiceId: string }> {
  return changeMoney(actor, { action: 'money.change', kind: 'invoice.start' }, input, async (context) => {
    const { tx, commandId, audit } = context
    const { businessId } = actor
    const client = await tx.client.findFirst({ where: { businessId, id: input.clientId, mergedIntoId: null } })
    if (!client) return invalid({ clientId: ['This client is not in the register any more. Choose another.'] })
    const { currency } = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    const { purchaseOrder } = client
    await tx.invoice.create({ data: { businessId, id: commandId, clientId: client.id, currency, purchaseOrder } })
    await audit('invoice', commandId, 'draft', undefined, { clientId: client.id })
    return done({ invoiceId: commandId })
  })
}

/**
 * Lines, purchase order and note of a draft become exactly those given. A line that keeps its id keeps what it bills; a
 * line left out sets its visit, part or months free again; a new one bills nothing but itself.
 */
export function editDraft(actor: Actor, input: EditDraft): MoneyResult<{ invoiceId: string; grossMinor: number }> {
  return changeMoney(actor, { action: 'money.change', kind: 'invoice.edit' }, input, async (context) => {
    const { tx, audit } = context
    const { businessId } = actor
    const where = { businessId, invoiceId: input.invoiceId }
    const refusal = await lockDraft(context, input.invoiceId)
    if (refusal) return refusal
    const before = await wholeDraft(context, input.invoiceId)
    if (!before) return noSuchInvoice()
    const lines = input.lines.map((line) => ({
      ...line,
      tax: {
        category: line.taxCategory,
        ratePercent: line.taxCategory === 'O' ? null : line.taxRate,
        exemptionReason: line.taxExemptionReason,
      },
    }))
    const totals = totalColumns(before.currency, lines)
    if (!totals) return invalid({ lines: ['The total is too large. Look for a price or quantity too high.'] })
    const known = new Map(before.invoiceLines.map((line) => [line.id, line]))
    const overCredit =
      before.documentType === 'credit_note' && lines.some((line) => !fitsCredit(known.get(line.id), line))
    if (overCredit)
      return refused('too-much', 'A credit note takes back what its invoice charged, not more. Lower the line.')
    await tx.invoiceLine.deleteMany({ where: { ...where, id: { notIn: lines.map((line) => line.id) } } })
    for (const [index, line] of lines.entries()) {
      const columns = {
        position: index + 1,
        description: line.description,
        quantity: line.quantity,
        unit: line.unit,
        unitPrice: line.unitPrice,
        netMinor: totals.lineNetsMinor[index] ?? 0,
        ...taxColumns(line.tax),
        serviceStart: asDbDate(line.serviceStart),
        serviceEnd: asDbDate(line.serviceEnd),
        purchaseOrder: input.purchaseOrder,
      }
      if (known.has(line.id)) {
        await tx.invoiceLine.update({ where: { businessId_id: { businessId, id: line.id } }, data: columns })
      } else {
        await tx.invoiceLine.create({ data: { ...where, id: line.id, clientId: before.clientId, ...columns } })
      }
    }
    const { purchaseOrder, note } = input
    const draft = { businessId_id: { businessId, id: input.invoiceId } }
    await tx.invoice.update({ where: draft, data: { purchaseOrder, note, ...totals.columns } })
    await audit('invoice', input.invoiceId, 'edit', before, await wholeDraft(context, input.invoiceId))
    return done({ invoiceId: input.invoiceId, grossMinor: totals.columns.grossMinor })
  })
}

/** Throws a draft away; what it billed is unbilled again. It never had a number, so none is missing. */
export function discardDraft(actor: Actor, input: OneDraft): MoneyResult<{ invoiceId: string }> {
  return changeMoney(actor, { action: 'money.change', kind: 'invoice.discard' }, input, async (context) => {
    const { tx, audit } = context
    const { businessId } = actor
    const refusal = await lockDraft(context, input.invoiceId)
    if (refusal) return refusal
    const before = await wholeDraft(context, input.invoiceId)
    await tx.invoiceLine.deleteMany({ where: { businessId, invoiceId: input.invoiceId } })
    await tx.invoice.delete({ where: { businessId_id: { businessId, id: input.invoiceId } } })
    await audit('invoice', input.invoiceId, 'discard', before, undefined)
    return done({ invoiceId: input.invoiceId })
  })
}

type DraftLine = NonNullable<Awaited<ReturnType<typeof wholeDraft>>>['invoiceLines'][number]

/** A line of a credit note was there when it was made, and may only shrink. */
function fitsCredit(known: DraftLine | undefined, line: EditDraft['lines'][number]): boolean {
  if (!known) return false
  const smaller = known.quantity.abs().greaterThanOrEqualTo(line.quantity.replace('-', ''))
  const sameWay = known.quantity.isNegative() === line.quantity.startsWith('-')
  return smaller && sameWay && known.unitPrice.equals(line.unitPrice) && known.taxRate.equals(line.taxRate)
}

function wholeDraft({ tx, actor }: MoneyContext, invoiceId: string) {
  return tx.invoice.findFirst({
    where: { businessId: actor.businessId, id: invoiceId },
    include: { invoiceLines: { orderBy: { position: 'asc' } } },
  })
}
