/**
 * What an invoice looks like on paper, as plain display text. Whoever makes it has already reckoned the amounts and
 * written numbers and dates in the reader's language; this room only sets type.
 */

export type PageSize = 'A4' | 'LETTER'

export type InvoiceParty = {
  name: string
  /** One line each, without the name. */
  addressLines: string[]
  /** Further lines under the address, e.g. "Tax no. XX 000 0000 00", phone, mail. */
  detailLines: string[]
}

export type InvoiceLineView = {
  description: string
  /** Smaller, under the description, e.g. "Hall · 1–30 November 2026"; empty text when there is none. */
  detail: string
  quantity: string
  /** E.g. "month", "hour"; printed behind the quantity; empty text for plain pieces. */
  unit: string
  unitPrice: string
  /** "20 %", "Exempt"; empty text on a paper without a column for it. */
  tax: string
  net: string
}

/** One row of the totals: "Tax 20 % of 247.80" and "49.56". */
export type AmountRow = { label: string; amount: string }

export type PaymentView = {
  /** Account holder; empty text when it is the business itself. */
  accountName: string
  /** As stored; printed in groups of four. Empty text when not used. */
  iban: string
  bic: string
  /** Account details of another kind: "Sort code", "00-00-00". */
  others: { label: string; value: string }[]
  /** What the payer should give as reference. */
  reference: string
}

export type InvoiceView = {
  pageSize: PageSize
  /** BCP 47 language of the text, e.g. "en-GB". */
  language: string
  kind: 'invoice' | 'credit_note'
  state: 'draft' | 'unpaid' | 'part_paid' | 'paid'
  /** Null for a draft, which has no number yet. */
  number: string | null
  /** In words, "25 November 2026"; for a draft the day it was looked at. */
  issueDate: string
  /** ISO date, "2026-11-25": the document's creation date, so that the same invoice is the same file. */
  issueDateIso: string
  business: InvoiceParty
  client: InvoiceParty
  /** "Your order", "Service", "Site", "Credits invoice" …: small facts under the address, in this order. */
  facts: { label: string; value: string }[]
  currency: string
  /** Heads the column of tax: "VAT". Empty text where the paper says nothing of tax: no column then. */
  taxName: string
  lines: InvoiceLineView[]
  /** Net, allowances, one row per tax group, already paid; in print order. */
  summary: AmountRow[]
  /** The one amount that matters: "Due 9 December 2026", "Paid in full", "Credited to you". */
  final: AmountRow
  /** Null on credit notes, where nothing is left to pay, and where no account is named. */
  payment: PaymentView | null
  /** Exemption reasons, terms, a closing sentence; a paragraph each. */
  notes: string[]
  /** At the foot of every page; a line each. */
  footer: string[]
}
