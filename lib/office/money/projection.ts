/**
 * A stored invoice, credit note or draft as it stands on paper and on screen: amounts and dates in the business's
 * language. Pure; what it needs is handed in, so drafts are shown by the same code as issued documents.
 */
import type { InvoiceView } from '@/lib/platform/pdf/invoice-view'
import { taxNumberWords } from './country-words'
import { currencyDecimals } from './currency'
import type { FrozenBuyer, FrozenSeller, PaperStyle } from './frozen-parties'
import { amountInWords, decimalInWords, type PaperManner, paperManner } from './paper-manner'
import type { PaymentFact } from './payment-state'
import { addressLines, streetLinesOf } from './postal-address'
import { type DecimalInput, exactDecimal, type TaxTreatment } from './tax'
import { type InvoiceTotals, invoiceTotals, type TaxGroup } from './totals'
import { unitBeside } from './units'

export { amountInWords } from './paper-manner'

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
  seller: Omit<FrozenSeller, 'style'>
  buyer: FrozenBuyer
  /** For a credit note. */
  credits: { number: string; issuedOn: string } | null
  lines: readonly DocumentLine[]
  /** Of a credit note: its tax by category and rate, as it was reckoned against its invoice. */
  taxes?: ReadonlyMap<string, number>
  payments: readonly PaymentFact[]
  /** Credit notes against this invoice, gross. */
  credited: readonly { number: string; amountMinor: number }[]
}

/**
 * Whether the paper says nothing of tax: its seller is not registered for it, so that every line is outside its scope; in a country of sales taxes,
 * where no line is taxed. What was issued before keeps its column.
 */
function isWithoutTax({ lines, seller }: MoneyDocument, { edition, words }: PaperManner): boolean {
  if (edition === 1) return false
  const categories = new Set(lines.map((line) => line.tax.category))
  categories.delete('O')
  if (!words.sellerNeedsNumber) categories.delete('Z')
  return categories.size === 0 && (seller.taxNumber === '' || !words.sellerNeedsNumber)
}

function numbersOf(party: FrozenBuyer | MoneyDocument['seller'], manner: PaperManner): string[] {
  const { taxNumber, companyNumber } = party
  const country = manner.edition === 1 ? '' : party.address.country
  const taxWords = country === '' ? manner.words.taxNumber : taxNumberWords(country, taxNumber)
  return [
    taxNumber === '' ? '' : `${taxWords} ${taxNumber}`,
    companyNumber === '' ? '' : `${manner.words.companyNumber} ${companyNumber}`,
  ].filter((line) => line !== '')
}

const tradingAs = ({ tradingName }: { tradingName: string }) =>
  tradingName === '' ? [] : [`Trading as ${tradingName}`]

function parties({ seller, buyer }: MoneyDocument, manner: PaperManner, language: string) {
  const home = seller.address.country
  // To a client abroad the seller's own country is named.
  const readIn = buyer.address.country || home
  return {
    business: {
      name: seller.name,
      addressLines: [...tradingAs(seller), ...addressLines(seller.address, { home, readIn, language })],
      detailLines: [...numbersOf(seller, manner), ...streetLinesOf(`${seller.phone}\n${seller.email}`)],
    },
    client: {
      name: buyer.name,
      addressLines: [...tradingAs(buyer), ...addressLines(buyer.address, { home, language })],
      detailLines: numbersOf(buyer, manner),
    },
  }
}

function facts(document: MoneyDocument, manner: PaperManner): InvoiceView['facts'] {
  const { credits, purchaseOrder, serviceStart, serviceEnd, buyer } = document
  const places = [...new Set(document.lines.map((line) => line.placeName).filter((name) => name !== ''))]
  return [
    ...(credits ? [{ label: 'Credits', value: `Invoice ${credits.number} of ${manner.date(credits.issuedOn)}` }] : []),
    ...(purchaseOrder === '' ? [] : [{ label: 'Your order', value: purchaseOrder }]),
    ...(buyer.reference === '' ? [] : [{ label: 'Your reference', value: buyer.reference }]),
    ...(serviceStart && serviceEnd ? [{ label: 'Service', value: manner.period(serviceStart, serviceEnd) }] : []),
    ...(places.length === 1 ? [{ label: 'Place', value: places[0] ?? '' }] : []),
  ]
}

function groupLabel(group: TaxGroup, { words, rate, money }: PaperManner): string {
  const of = money(group.taxableMinor)
  if (group.category !== 'S') return `${words.categories[group.category]}, on ${of}`
  return `${group.name ?? words.tax} ${rate(group.ratePercent)} of ${of}`
}

function summary(document: MoneyDocument, totals: InvoiceTotals, manner: PaperManner): InvoiceView['summary'] {
  const { money } = manner
  const groups = totals.taxGroups.map((group) => ({ label: groupLabel(group, manner), amount: money(group.taxMinor) }))
  const settled = [
    ...document.credited.map((credit) => ({
      label: `Credit note ${credit.number}`,
      amount: money(-credit.amountMinor),
    })),
    ...document.payments.map((paid) => ({
      label: `${settledWords(paid)} ${manner.date(paid.receivedOn)}`,
      amount: money(-paid.amountMinor),
    })),
  ]
  const total = settled.length > 0 ? [{ label: 'Total', amount: money(totals.grossMinor) }] : []
  const taxed = isWithoutTax(document, manner) ? [] : [{ label: 'Net', amount: money(totals.netMinor) }, ...groups]
  return [...taxed, ...total, ...settled]
}

function settledWords({ amountMinor, isMoved = false }: PaymentFact): string {
  if (isMoved) return amountMinor < 0 ? 'Moved to your credit' : 'Taken from your credit'
  return amountMinor < 0 ? 'Paid back' : 'Paid'
}

function finalLabel(document: MoneyDocument, dueMinor: number, touched: boolean, manner: PaperManner): string {
  if (document.documentType === 'credit_note') return 'Credited to you'
  if (dueMinor < 0) return manner.edition === 1 ? 'Paid too much, in your favour' : 'Overpaid, in credit'
  if (dueMinor === 0 && document.payments.every(({ amountMinor }) => amountMinor <= 0))
    return touched ? 'Credited in full, nothing to pay' : 'Nothing to pay'
  if (dueMinor === 0) return 'Paid in full, thank you'
  const { dueOn, issuedOn } = document
  if (manner.edition === 2) return dueOn === null ? 'Due' : `Due ${manner.date(dueOn)}`
  const sameYear = dueOn?.slice(0, 4) === issuedOn.slice(0, 4)
  const day = dueOn === null ? '' : sameYear ? manner.dayAndMonth(dueOn) : manner.date(dueOn)
  return `${touched ? 'Still to pay' : 'To pay'}${day === '' ? '' : ` by ${day}`}`
}

/** Account details as they are filled in; null where there are none, so that nobody is told to pay and not where. */
function payment(document: MoneyDocument): InvoiceView['payment'] {
  const { seller, number } = document
  const { accountName, iban, bic, sortCode, accountNumber, routingNumber } = seller
  const others = [
    { label: 'Sort code', value: sortCode },
    { label: 'Routing number', value: routingNumber },
    { label: 'Account number', value: accountNumber },
  ].filter(({ value }) => value !== '')
  if (iban === '' && others.length === 0) return null
  // The name at the head of the paper need not be said again.
  return { accountName: accountName === seller.name ? '' : accountName, iban, bic, others, reference: number ?? '' }
}

function unitWords({ unit, quantity }: DocumentLine, { edition }: PaperManner): string {
  if (unit === 'piece') return ''
  return edition === 1 ? unit : unitBeside(unit, exactDecimal(quantity, 'quantity').toFixed())
}

/** The reasons of a category that has several stand on its lines. */
function reasonsOnLines(totals: InvoiceTotals, { edition }: PaperManner): ReadonlySet<string> {
  const several = totals.taxGroups.filter(({ exemptionReasons }) => exemptionReasons.length > 1)
  return new Set(edition === 1 ? [] : several.map(({ category }) => category))
}

function notes(document: MoneyDocument, totals: InvoiceTotals, manner: PaperManner, isPaidInto: boolean): string[] {
  const { words } = manner
  const onLines = reasonsOnLines(totals, manner)
  const groups = isWithoutTax(document, manner) ? [] : totals.taxGroups
  const reasons = groups
    .filter(({ category }) => !onLines.has(category))
    .flatMap(({ category, exemptionReasons }) =>
      exemptionReasons.map((reason) => ({ category: words.categories[category], reason })),
    )
    // "Reverse charge" stands on the lines and in the totals already.
    .filter(({ category, reason }) => manner.edition === 1 || reason.toLowerCase() !== category.toLowerCase())
    .map(({ category, reason }) => `${category}: ${reason}`)
  const reference = isPaidInto && document.number !== null ? [`Please give ${document.number} as the reference.`] : []
  return [...reasons, ...reference, ...streetLinesOf(document.note)]
}

/**
 * The document as display text for `invoicePdf` and the screens. Totals are reckoned from the lines by `invoiceTotals`, so
 * the paper cannot disagree with them. Errors: RangeError from there.
 */
export function invoiceView(document: MoneyDocument, { locale, pageSize }: PaperStyle): InvoiceView {
  const { currency, lines, seller, number } = document
  const manner = paperManner(seller, currency, locale)
  const totals = invoiceTotals({ currency, lines })
  const settledMinor = [...document.payments, ...document.credited].reduce(
    (sum, { amountMinor }) => sum + amountMinor,
    0,
  )
  const touched = document.payments.length + document.credited.length > 0
  const dueMinor = totals.grossMinor - settledMinor
  const toPay = document.documentType === 'invoice' && dueMinor > 0 ? payment(document) : null
  const severalPlaces = new Set(lines.map((line) => line.placeName)).size > 1
  const onLines = reasonsOnLines(totals, manner)
  const withoutTax = isWithoutTax(document, manner)
  const decimals = currencyDecimals(currency)
  const taxWords = ({ category, ratePercent }: TaxTreatment) =>
    withoutTax ? '' : category === 'S' ? manner.rate(ratePercent ?? '0') : manner.words.onLine[category]
  return {
    pageSize,
    language: locale,
    kind: document.documentType,
    state: number === null ? 'draft' : dueMinor <= 0 ? 'paid' : touched ? 'part_paid' : 'unpaid',
    number,
    issueDate: manner.date(document.issuedOn),
    issueDateIso: document.issuedOn,
    ...parties(document, manner, locale),
    facts: facts(document, manner),
    currency,
    taxName: withoutTax ? '' : manner.words.tax,
    lines: lines.map((line, index) => ({
      description: line.description,
      detail: [
        severalPlaces ? line.placeName : '',
        onLines.has(line.tax.category) ? (line.tax.exemptionReason ?? '') : '',
      ]
        .filter((text) => text !== '')
        .join(' · '),
      quantity: decimalInWords(line.quantity, locale, 0, 3),
      unit: unitWords(line, manner),
      unitPrice: decimalInWords(line.unitPrice, locale, decimals, Math.max(4, decimals)),
      tax: taxWords(line.tax),
      net: amountInWords(totals.lineNetsMinor[index] ?? 0, currency, locale),
    })),
    summary: summary(document, totals, manner),
    final: {
      label: finalLabel(document, dueMinor, touched, manner),
      amount: manner.money(Math.abs(dueMinor)),
    },
    payment: toPay,
    notes: notes(document, totals, manner, toPay !== null),
    footer: streetLinesOf(seller.footer),
  }
}
