import 'server-only'
import { type CommandContext, defineCommand } from '../frame/command'
import { asDbDate } from '../frame/days'
import { done, invalid, refused } from '../frame/result'
import { changedMeanwhile, newestChange } from './changed-meanwhile'
import { creditReckoning, fitsCredit, readCredited } from './credit-state'
import { rewriteCharges } from './draft-charges'
import { proposeDrafts } from './draft-lines'
import { taxColumns, totalColumns, writeDraft } from './draft-rows'
import { lockBilling, lockDraft, MONEY, noSuchInvoice } from './money-command'
import { readCharges } from './read-charges'
import { editDraftSchema, makeDraftsSchema, oneDraftSchema, startDraftSchema } from './schema'
import { readTaxParts } from './tax-parts'
import { unitColumns } from './units'

/**
 * Writes drafts for everything unbilled through a month: one for each payer, currency and purchase order. One at a time
 * in a business, so that a visit, a part and a month of an agreement stand on one invoice only. Work without a price
 * stays unbilled. No work is no error: the list is empty.
 */
export const makeDrafts = defineCommand(
  { ...MONEY, kind: 'invoice.make-drafts', schema: makeDraftsSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    await lockBilling(context)
    const work = await readCharges(tx, actor.businessId, input)
    const invoiceIds: string[] = []
    for (const proposal of proposeDrafts(work)) {
      const wanted = input.payerIds === undefined || input.payerIds.includes(proposal.payerId)
      if (!wanted || proposal.lines.length === 0) continue
      const invoiceId = await writeDraft(context, proposal)
      await audit('invoice', invoiceId, 'draft', undefined, { proposal })
      invoiceIds.push(invoiceId)
    }
    return done({ invoiceIds })
  },
)

/** An empty draft for a client, for what no visit and no part tells. The invoice's id is the command's. */
export const startDraft = defineCommand(
  { ...MONEY, kind: 'invoice.start', schema: startDraftSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const { businessId } = actor
    const client = await tx.client.findFirst({ where: { businessId, id: input.clientId, mergedIntoId: null } })
    if (!client) return invalid({ clientId: ['This client is not in the register any more. Choose another.'] })
    const { currency } = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    const { purchaseOrder } = client
    await tx.invoice.create({ data: { businessId, id: commandId, clientId: client.id, currency, purchaseOrder } })
    await audit('invoice', commandId, 'draft', undefined, { clientId: client.id })
    return done({ invoiceId: commandId })
  },
)

/**
 * Lines, purchase order and note of a draft become exactly those given. A line that keeps its id keeps what it bills; a
 * line left out sets its visit, part or months free again; a new one bills nothing but itself. `seen` is this change, for the form that goes on.
 */
export const editDraft = defineCommand(
  { ...MONEY, kind: 'invoice.edit', schema: editDraftSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const { businessId } = actor
    const where = { businessId, invoiceId: input.invoiceId }
    const refusal = await lockDraft(context, input.invoiceId)
    if (refusal) return refusal
    const meanwhile = await changedMeanwhile(context, input)
    if (meanwhile) return meanwhile
    const before = await wholeDraft(context, input.invoiceId)
    if (!before) return noSuchInvoice()
    const lines = input.lines.map((line) => ({
      ...line,
      tax: {
        category: line.taxCategory,
        ratePercent: line.taxCategory === 'O' ? null : line.taxRate,
        exemptionReason: line.taxExemptionReason,
        parts: readTaxParts(line.taxParts ?? '') ?? [],
      },
    }))
    const known = new Map(before.invoiceLines.map((line) => [line.id, line]))
    const credited =
      before.correctsInvoiceId === null ? null : await readCredited(context, before.correctsInvoiceId, before.id)
    const asCredits = lines.map((line) => ({ ...line, creditsLineId: known.get(line.id)?.creditsLineId ?? null }))
    if (credited && !asCredits.every((line) => fitsCredit(credited, line)))
      return refused('too-much', 'A credit note takes back what its invoice charged, not more. Lower the line.')
    const totals = totalColumns(before.currency, lines, credited ? creditReckoning(credited, asCredits) : undefined)
    if (!totals) return invalid({ lines: ['The total is too large. Look for a price or quantity too high.'] })
    await tx.invoiceLine.deleteMany({ where: { ...where, id: { notIn: lines.map((line) => line.id) } } })
    for (const [index, line] of lines.entries()) {
      const columns = {
        position: index + 1,
        description: line.description,
        quantity: line.quantity,
        ...unitColumns(line.unit),
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
    if (!credited) await rewriteCharges(context, input.invoiceId, lines)
    const { purchaseOrder, note } = input
    const draft = { businessId_id: { businessId, id: input.invoiceId } }
    await tx.invoice.update({ where: draft, data: { purchaseOrder, note, ...totals.columns } })
    await audit('invoice', input.invoiceId, 'edit', before, await wholeDraft(context, input.invoiceId))
    const newest = await newestChange(tx, businessId, input.invoiceId)
    return done({ invoiceId: input.invoiceId, grossMinor: totals.columns.grossMinor, seen: newest?.id ?? '' })
  },
)

/** Throws a draft away; what it billed is unbilled again. It never had a number, so none is missing. */
export const discardDraft = defineCommand(
  { ...MONEY, kind: 'invoice.discard', schema: oneDraftSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const { businessId } = actor
    const refusal = await lockDraft(context, input.invoiceId)
    if (refusal) return refusal
    const before = await wholeDraft(context, input.invoiceId)
    await tx.invoiceLine.deleteMany({ where: { businessId, invoiceId: input.invoiceId } })
    await tx.invoice.delete({ where: { businessId_id: { businessId, id: input.invoiceId } } })
    await audit('invoice', input.invoiceId, 'discard', before, undefined)
    return done({ invoiceId: input.invoiceId })
  },
)

function wholeDraft({ tx, actor }: CommandContext, invoiceId: string) {
  return tx.invoice.findFirst({
    where: { businessId: actor.businessId, id: invoiceId },
    include: { invoiceLines: { orderBy: { position: 'asc' } } },
  })
}
