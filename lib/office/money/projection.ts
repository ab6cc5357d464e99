/**
 * A stored invoice, credit note or draft as it stands on paper and on screen: amounts and dates in the business's
 * language. Pure; what it needs is handed in, so drafts are shown by the same code as issued documents.
 */
import type { InvoiceView, PageSize } from '@/lib/platform/pdf/invoice-view'
import { currencyDecimals, minorToDecimalText } from './currency'
import { dateInWords, dayAndMonth, periodInWords } from './dates-in-words'
import type { PaymentFact } from './payment-state'
import { type DecimalInput, exactDecimal, TAX_CATEGORY_WORDS, type TaxTreatment } from './tax'
import { type InvoiceTotals, invoiceTotals } from './totals'

const NO_BREAK_SPACE = '\u00a0'

/** Seller and buyer as they were when the document was issued. Addresses as typed, one line each. */
export type PartySnapshot = { name: string; address: string; taxNumber: string; contact: string }
export type SellerSnapshot = PartySnapshot & { iban: string; bic: string; accountName: string }

export type DocumentLine = {
  description: string
  /** Tank or place, shown small under the description where the document covers more than one. */
  placeName: string
  quantity: DecimalInput
  /** "piece" and empty text print as a bare number. */
  unit: string
  unitPrice: DecimalInput
  tax: TaxTreatment
}

export type MoneyDocument = {
  documentType: 'invoice' | 'credit_note'
  /** Null for a draft. */
  number: string | null
  /** ISO; for a draft the day it is looked at. */
  issuedOn: string
  dueOn: string | null
  serviceStart: string | null
  serviceEnd: string | null
  currency: string
  purchaseOrder: string
  note: string
  seller: SellerSnapshot
  buyer: PartySnapshot
  /** For a credit note. */
  credits: { number: string; issuedOn: string } | null
  lines: readonly DocumentLine[]
  payments: readonly PaymentFact[]
  /** Credit notes against this invoice, gross. */
  credited: readonly { number: string; amountMinor: number }[]
}

export type MoneyStyle = { locale: string; pageSize: PageSize }

/** "1,297.36" in the business's language; a real minus sign. No currency: the document names it once. */
export function amountInWords(amountMinor: number, currency: string, locale: string): string {
  const decimals = currencyDecimals(currency)
  const text = decimalInWords(minorToDecimalText(Math.abs(amountMinor), currency), locale, decimals, decimals)
  return amountMinor < 0 ? `−${text}` : text
}

/** A decimal in the reader's language, from text so that no figure passes through a binary float. */
export function decimalInWords(value: DecimalInput, locale: string, minDecimals: number, maxDecimals: number): string {
  const exact = exactDecimal(value, 'number').toDecimalPlaces(maxDecimals)
  const options = { minimumFractionDigits: minDecimals, maximumFractionDigits: maxDecimals }
  // Intl takes exact decimal text (ECMA-402, "intl mathematical value"); TypeScript's types ask for a template type.
  const text = new Intl.NumberFormat(locale, options).format(exact.abs().toFixed() as `${number}`)
  return exact.isNegative() && !exact.isZero() ? `−${text}` : text
}

/** "20 %" with a space that never breaks. */
export function rateInWords(ratePercent: DecimalInput, locale: string): string {
  return `${decimalInWords(ratePercent, locale, 0, 4)}${NO_BREAK_SPACE}%`
}

const linesOf = (address: string) =>
  address
    .split(/\r?\n/)
    .map((line) => line.trim())
    .filter((line) => line !== '')

function party(snapshot: PartySnapshot) {
  const taxNumber = snapshot.taxNumber === '' ? [] : [`Tax no. ${snapshot.taxNumber}`]
  return {
    name: snapshot.name,
    addressLines: linesOf(snapshot.address),
    detailLines: [...taxNumber, ...linesOf(snapshot.contact)],
  }
}

function facts(document: MoneyDocument): InvoiceView['facts'] {
  const { credits, purchaseOrder, serviceStart, serviceEnd } = document
  const places = [...new Set(document.lines.map((line) => line.placeName).filter((name) => name !== ''))]
  return [
    ...(credits ? [{ label: 'Credits', value: `Invoice ${credits.number} of ${dateInWords(credits.issuedOn)}` }] : []),
    ...(purchaseOrder === '' ? [] : [{ label: 'Your order', value: purchaseOrder }]),
    ...(serviceStart && serviceEnd ? [{ label: 'Service', value: periodInWords(serviceStart, serviceEnd) }] : []),
    ...(places.length === 1 ? [{ label: 'Place', value: places[0] ?? '' }] : []),
  ]
}

function summary(document: MoneyDocument, totals: InvoiceTotals, locale: string): InvoiceView['summary'] {
  const amount = (minor: number) => amountInWords(minor, document.currency, locale)
  const groups = totals.taxGroups.map((group) => {
    const words = TAX_CATEGORY_WORDS[group.category]
    const of = amount(group.taxableMinor)
    const label =
      group.category === 'S' ? `${words} ${rateInWords(group.ratePercent, locale)} of ${of}` : `${words}, on ${of}`
    return { label, amount: amount(group.taxMinor) }
  })
  const settled = [
    ...document.credited.map((credit) => ({
      label: `Credit note ${credit.number}`,
      amount: amount(-credit.amountMinor),
    })),
    ...document.payments.map((paid) => ({
      label: `${paid.amountMinor < 0 ? 'Paid back' : 'Paid'} ${dateInWords(paid.receivedOn)}`,
      amount: amount(-paid.amountMinor),
    })),
  ]
  const total = settled.length > 0 ? [{ label: 'Total', amount: amount(totals.grossMinor) }] : []
  return [{ label: 'Net', amount: amount(totals.netMinor) }, ...groups, ...total, ...settled]
}

function finalLabel(document: MoneyDocument, dueMinor: number, touched: boolean): string {
  if (document.documentType === 'credit_note') return 'Credited to you'
  if (dueMinor < 0) return 'Paid too much, in your favour'
  if (dueMinor === 0) return touched ? 'Paid in full, thank you' : 'Nothing to pay'
  const { dueOn, issuedOn } = document
  const day = dueOn === null ? '' : dueOn.slice(0, 4) === issuedOn.slice(0, 4) ? dayAndMonth(dueOn) : dateInWords(dueOn)
  return `${touched ? 'Still to pay' : 'To pay'}${day === '' ? '' : ` by ${day}`}`
}

function notes(document: MoneyDocument, totals: InvoiceTotals, toPay: boolean): string[] {
  const reasons = totals.taxGroups.flatMap((group) =>
    group.exemptionReasons.map((reason) => `${TAX_CATEGORY_WORDS[group.category]}: ${reason}`),
  )
  const reference = toPay && document.number !== null ? [`Please give ${document.number} as the reference.`] : []
  return [...reasons, ...reference, ...linesOf(document.note)]
}

/**
 * The document as display text for `invoicePdf` and the screens. Totals are reckoned from the lines by `invoiceTotals`, so
 * the paper cannot disagree with them. Errors: RangeError from there.
 */
export function invoiceView(document: MoneyDocument, { locale, pageSize }: MoneyStyle): InvoiceView {
  const { currency, lines, seller, number } = document
  const totals = invoiceTotals({ currency, lines })
  const settledMinor = [...document.payments, ...document.credited].reduce(
    (sum, { amountMinor }) => sum + amountMinor,
    0,
  )
  const touched = document.payments.length + document.credited.length > 0
  const dueMinor = totals.grossMinor - settledMinor
  const toPay = document.documentType === 'invoice' && dueMinor > 0
  const severalPlaces = new Set(lines.map((line) => line.placeName)).size > 1
  const decimals = currencyDecimals(currency)
  return {
    pageSize,
    language: locale,
    kind: document.documentType,
    state: number === null ? 'draft' : dueMinor <= 0 ? 'paid' : touched ? 'part_paid' : 'unpaid',
    number,
    issueDate: dateInWords(document.issuedOn),
    issueDateIso: document.issuedOn,
    business: party(seller),
    client: party(document.buyer),
    facts: facts(document),
    currency,
    lines: lines.map((line, index) => ({
      description: line.description,
      detail: severalPlaces ? line.placeName : '',
      quantity: decimalInWords(line.quantity, locale, 0, 3),
      unit: line.unit === 'piece' ? '' : line.unit,
      unitPrice: decimalInWords(line.unitPrice, locale, decimals, Math.max(4, decimals)),
      tax: line.tax.category === 'O' ? 'none' : rateInWords(line.tax.ratePercent ?? '0', locale),
      net: amountInWords(totals.lineNetsMinor[index] ?? 0, currency, locale),
    })),
    summary: summary(document, totals, locale),
    final: {
      label: finalLabel(document, dueMinor, touched),
      amount: amountInWords(Math.abs(dueMinor), currency, locale),
    },
    payment: toPay
      ? { accountName: seller.accountName, iban: seller.iban, bic: seller.bic, otherLines: [], reference: number ?? '' }
      : null,
    notes: notes(document, totals, toPay),
  }
}
