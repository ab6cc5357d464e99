import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { newId } from '@/lib/new-id'
import { unprintableLetters } from '@/lib/platform/pdf/invoice-pdf'
import { type CommandContext, defineCommand } from '../frame/command'
import { asDay, asDbDate, dayIn } from '../frame/days'
import { done, invalid, refused } from '../frame/result'
import { draftIssues, letterIssues } from './check-draft'
import { writeCreditedCharges } from './credited-charges'
import { dateInWords } from './dates-in-words'
import { lockDraft, MONEY, noSuchInvoice } from './money-command'
import { numberInSeries } from './number-series'
import { dueDate } from './payment-state'
import { invoiceView } from './projection'
import { issueInvoiceSchema } from './schema'
import { buyerOf, documentOf, readInvoice, type StoredInvoice, sellerOf } from './stored-document'
import { invoiceTotals } from './totals'

const PREFIX = { invoice: 'INV-', credit_note: 'CN-' } as const

/**
 * Gives a draft its number and freezes it: parties, tax, totals, the day to pay by. The number is taken from its series
 * in this very transaction, last of all: if it fails, the number was never given; two at once wait for each other.
 * Refused where the check finds something blocking, where the total is not the one the person saw, where the day is
 * yet to come or a credit note would be older than its invoice; a day before that of an earlier number is asked about first.
 */
export const issueInvoice = defineCommand(
  { ...MONEY, kind: 'invoice.issue', schema: issueInvoiceSchema },
  async (context, input) => {
    const { tx, actor, madeAt, audit } = context
    const { businessId } = actor
    const refusal = await lockDraft(context, input.invoiceId)
    if (refusal) return refusal
    const draft = await readInvoice(tx, businessId, input.invoiceId)
    if (!draft) return noSuchInvoice()
    if (input.issuedOn > dayIn(draft.business.timeZone, madeAt))
      return invalid({ issuedOn: ['That day is yet to come. Issue it on the day, or date it today.'] })
    const { correctsInvoice } = draft
    if (correctsInvoice?.issuedOn && input.issuedOn < asDay(correctsInvoice.issuedOn)) {
      const day = dateInWords(asDay(correctsInvoice.issuedOn))
      return invalid({ issuedOn: [`${correctsInvoice.number} is dated ${day}. Its credit note cannot be earlier.`] })
    }
    const { document, style } = documentOf(draft, input.issuedOn, { standing: false })
    const letters = letterIssues(await unprintableLetters(invoiceView(document, style)))
    const blocking = [...issuesOf(draft, input.issuedOn), ...letters].filter((issue) => issue.blocking)
    if (blocking.length > 0) return refused('not-ready', blocking.map(({ message }) => message).join(' '))
    const totals = invoiceTotals(document)
    if (totals.grossMinor !== input.expectedGrossMinor)
      return refused('total-changed', 'The draft has changed since you looked at it. Reload the page and look again.')

    const taken = await takeNumber(context, document.documentType)
    if (taken.lastIssuedOn !== null && input.issuedOn < taken.lastIssuedOn && !input.earlierDayAccepted) {
      const day = dateInWords(taken.lastIssuedOn)
      return refused(
        'date-order',
        `${taken.lastNumber} is dated ${day}. Numbers and days would then run in different order. Say yes to issue it all the same.`,
      )
    }
    const termDays = draft.client.paymentTermsDays ?? draft.business.paymentTermsDays
    const data = {
      state: 'issued',
      number: taken.number,
      issuedOn: asDbDate(input.issuedOn),
      issuedAt: madeAt,
      dueOn: document.documentType === 'invoice' ? asDbDate(dueDate(input.issuedOn, termDays)) : null,
      seller: sellerOf(draft),
      buyer: buyerOf(draft),
      taxBreakdown: totals.taxGroups as unknown as Prisma.InputJsonValue, // plain objects of text and whole numbers
      netMinor: totals.netMinor,
      taxMinor: totals.taxMinor,
      grossMinor: totals.grossMinor,
    }
    if (document.documentType === 'credit_note') await writeCreditedCharges(context, draft.id)
    await tx.invoice.update({ where: { businessId_id: { businessId, id: draft.id } }, data })
    await audit('invoice', draft.id, 'issue', { state: 'draft' }, data)
    return done({ invoiceId: draft.id, number: taken.number, grossMinor: totals.grossMinor })
  },
)

/** What the check says of a draft, without what only the fonts know. */
export function issuesOf(draft: StoredInvoice, today: string) {
  const { document } = documentOf(draft, today, { standing: false })
  // A credit note names the invoice it credits; that invoice named the order.
  const needsPurchaseOrder = draft.client.purchaseOrderNeeded && document.documentType === 'invoice'
  return draftIssues({ document, needsPurchaseOrder, legalName: draft.business.legalName })
}

/** The next number of a series: one statement, whose row lock makes everybody else wait until this transaction ends. */
async function takeNumber({ tx, actor }: CommandContext, documentType: 'invoice' | 'credit_note') {
  const { businessId } = actor
  const rows = await tx.$queryRaw<{ prefix: string; taken: number }[]>`
    INSERT INTO number_series AS series (business_id, id, document_type, prefix, next_number)
    VALUES (${businessId}::uuid, ${newId()}::uuid, ${documentType}, ${PREFIX[documentType]}, 2)
    ON CONFLICT (business_id, document_type) DO UPDATE SET next_number = series.next_number + 1
    RETURNING prefix, next_number - 1 AS taken`
  const series = rows[0]
  if (!series) throw new Error(`the number series ${documentType} of ${businessId} gave no number`)
  const last = await tx.invoice.findFirst({
    where: { businessId, documentType, state: 'issued' },
    orderBy: [{ issuedOn: 'desc' }, { issuedAt: 'desc' }],
    select: { number: true, issuedOn: true },
  })
  return {
    number: numberInSeries(series.prefix, series.taken),
    lastNumber: last?.number ?? '',
    lastIssuedOn: last?.issuedOn ? asDay(last.issuedOn) : null,
  }
}
