import 'server-only'
import type { CommandContext } from '../frame/command'
import { type CreditAsked, creditLine, leftOfLine } from './credit-lines'
import { creditTotals } from './credit-tax'
import { storedTaxGroups, taxOfLine } from './stored-document'
import { type InvoiceAmounts, lineNetMinor, taxGroupKeys } from './totals'

/** An invoice as far as crediting it asks, with all credit notes against it but `exceptNoteId`; drafts count. */
export async function readCredited({ tx, actor }: CommandContext, invoiceId: string, exceptNoteId?: string) {
  const others = exceptNoteId === undefined ? {} : { NOT: { invoiceId: exceptNoteId } }
  return tx.invoice.findUniqueOrThrow({
    where: { businessId_id: { businessId: actor.businessId, id: invoiceId } },
    include: {
      client: { select: { id: true, mergedIntoId: true } },
      invoiceLines: {
        orderBy: { position: 'asc' },
        include: {
          creditedBy: { where: others, select: { quantity: true, unitPrice: true, netMinor: true } },
        },
      },
      creditNotes: {
        where: exceptNoteId === undefined ? {} : { NOT: { id: exceptNoteId } },
        select: { taxBreakdown: true },
      },
    },
  })
}

export type CreditedInvoice = Awaited<ReturnType<typeof readCredited>>
type InvoicedLine = CreditedInvoice['invoiceLines'][number]
type CreditableLine = Pick<InvoicedLine, 'quantity' | 'unit' | 'unitPrice' | 'netMinor'> & {
  creditedBy: readonly Pick<InvoicedLine, 'quantity' | 'unitPrice' | 'netMinor'>[]
}

/** A line of an invoice as the pure rules of crediting take it. */
export function creditable(line: CreditableLine, currency: string) {
  return {
    quantity: line.quantity.toFixed(),
    unit: line.unit,
    unitPrice: line.unitPrice.toFixed(),
    netMinor: line.netMinor,
    currency,
    credits: line.creditedBy.map((credit) => ({
      quantity: credit.quantity.toFixed(),
      unitPrice: credit.unitPrice.toFixed(),
      netMinor: credit.netMinor,
    })),
  }
}

export const creditedLine = (invoice: CreditedInvoice, line: InvoicedLine, asked: CreditAsked) =>
  creditLine(creditable(line, invoice.currency), asked)

type CreditDraftLine = InvoiceAmounts['lines'][number] & { creditsLineId: string | null }

/** A line of a credit note was there when it was made, and takes back no more than is left, at the tax that was charged. */
export function fitsCredit(invoice: CreditedInvoice, line: CreditDraftLine): boolean {
  const credited = invoice.invoiceLines.find(({ id }) => id === line.creditsLineId)
  if (!credited) return false
  const { leftMinor } = leftOfLine(creditable(credited, invoice.currency))
  const netMinor = lineNetMinor(line, invoice.currency)
  const sameWay = netMinor < 0 === credited.netMinor < 0
  const sameTax = taxGroupKeys(line.tax).join() === taxGroupKeys(taxOfLine(credited)).join()
  return sameTax && sameWay && Math.abs(netMinor) <= leftMinor
}

/** How the totals of a credit note are reckoned: the last one takes the rest of the tax. */
export const creditReckoning = (invoice: CreditedInvoice, lines: readonly CreditDraftLine[]) => () =>
  creditTotalsOf(invoice, lines)

function creditTotalsOf(invoice: CreditedInvoice, lines: readonly CreditDraftLine[]) {
  const { currency } = invoice
  const takenNow = new Map<string, number>()
  for (const line of lines) {
    const id = line.creditsLineId ?? ''
    takenNow.set(id, (takenNow.get(id) ?? 0) + Math.abs(lineNetMinor(line, currency)))
  }
  const ofKey = (key: string) => invoice.invoiceLines.filter((line) => taxGroupKeys(taxOfLine(line)).includes(key))
  return creditTotals({
    currency,
    lines,
    invoice: storedTaxGroups(invoice.taxBreakdown),
    others: invoice.creditNotes.map(({ taxBreakdown }) => storedTaxGroups(taxBreakdown)),
    isCleared: (key) =>
      ofKey(key).every((line) => leftOfLine(creditable(line, currency)).leftMinor === (takenNow.get(line.id) ?? 0)),
    hasNegative: (key) => ofKey(key).some(({ netMinor }) => netMinor < 0),
  })
}
