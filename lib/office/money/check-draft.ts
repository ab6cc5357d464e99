/** What stands in the way of issuing a draft, in words. Pure. */
import type { UnprintableLetter } from '@/lib/platform/pdf/invoice-pdf'
import { countryWords } from './country-words'
import { addressLines, type PostalAddress } from './postal-address'
import type { MoneyDocument } from './projection'
import { exactDecimal, taxProblems } from './tax'
import { invoiceTotals } from './totals'

export type DraftIssue = {
  code: string
  /** Blocking ones must be put right first; the others are worth a look. */
  blocking: boolean
  message: string
}

/** The largest amount an invoice can hold: what fits the tables' integers. */
export const LARGEST_MINOR = 2_147_483_647

type Facts = { document: MoneyDocument; needsPurchaseOrder: boolean; legalName: string }

const blank = (text: string) => text.trim() === ''
const isEmpty = (address: PostalAddress) =>
  addressLines(address, { home: address.country, language: 'en' }).length === 0

function partyIssues({ document, legalName, needsPurchaseOrder }: Facts): DraftIssue[] {
  const { seller, buyer } = document
  const issues: DraftIssue[] = []
  const add = (when: boolean, code: string, blocking: boolean, message: string) => {
    if (when) issues.push({ code, blocking, message })
  }
  add(blank(seller.name), 'seller-name-missing', true, 'The name of your business is missing. Add it in Settings.')
  add(
    isEmpty(seller.address),
    'seller-address-missing',
    true,
    'The address of your business is missing. Add it in Settings.',
  )
  add(
    blank(legalName) && !blank(seller.name),
    'legal-name-missing',
    false,
    `Your legal name is not set; the invoice says “${seller.name}”. Add it in Settings if the two differ.`,
  )
  add(
    document.documentType === 'invoice' && blank(seller.iban) && blank(seller.accountNumber),
    'account-missing',
    false,
    'No account is named to pay into. Add it in Settings.',
  )
  add(
    isEmpty(buyer.address),
    'buyer-address-missing',
    false,
    `${buyer.name} has no address. Add a billing address on the client’s page.`,
  )
  add(
    !isEmpty(buyer.address) && blank(buyer.address.place) && blank(buyer.address.postcode),
    'buyer-place-missing',
    false,
    `The address of ${buyer.name} has no town and postcode in fields of their own. Move them there on the client’s page: some clients’ programs need them.`,
  )
  add(
    needsPurchaseOrder && blank(document.purchaseOrder),
    'purchase-order-missing',
    true,
    `${buyer.name} wants a purchase order number on its invoices. Ask for it, then write it on the draft.`,
  )
  return issues
}

function lineIssues({ lines }: MoneyDocument): DraftIssue[] {
  return lines.flatMap((line, index) => {
    const issues: DraftIssue[] = []
    if (blank(line.description)) {
      issues.push({
        code: 'description-missing',
        blocking: true,
        message: `Line ${index + 1} does not say what it is for.`,
      })
    }
    if (exactDecimal(line.unitPrice, 'unit price').isZero()) {
      const message = `Line ${index + 1}, “${line.description}”, costs nothing. Leave it if that is meant.`
      issues.push({ code: 'free-line', blocking: false, message })
    }
    return issues
  })
}

function totalIssues(document: MoneyDocument): DraftIssue[] {
  const { grossMinor, netMinor } = invoiceTotals(document)
  const what = document.documentType === 'invoice' ? 'invoice' : 'credit note'
  if (Math.abs(grossMinor) > LARGEST_MINOR || Math.abs(netMinor) > LARGEST_MINOR)
    return [
      { code: 'too-large', blocking: true, message: 'The total is too large. Look for a price or quantity too high.' },
    ]
  if (grossMinor < 0)
    return [
      { code: 'below-nothing', blocking: true, message: `The ${what} comes out below nothing. Look at its lines.` },
    ]
  return []
}

/** Letters that the paper cannot print: each would be a box or a � on an invoice that nobody can change any more. */
export function letterIssues(letters: readonly UnprintableLetter[]): DraftIssue[] {
  if (letters.length === 0) return []
  const named = letters.map(({ letter, where }) => `“${letter}” in ${where}`).join(', ')
  const message = `The paper cannot print ${named}. Write it in Latin, Greek or Cyrillic letters.`
  return [{ code: 'unprintable-letters', blocking: true, message }]
}

/**
 * Everything to put right or to look at before this draft gets its number: parties, purchase order, lines, tax, total.
 * Letters the paper cannot print (`letterIssues`) are asked of `unprintableLetters`, which needs the fonts.
 */
export function draftIssues(facts: Facts): DraftIssue[] {
  const { document } = facts
  if (document.lines.length === 0)
    return [...partyIssues(facts), { code: 'no-lines', blocking: true, message: 'There is no line yet. Add one.' }]
  const tax = taxProblems(
    document.lines.map((line) => line.tax),
    {
      sellerTaxNumber: document.seller.taxNumber,
      buyerTaxNumber: document.buyer.taxNumber,
      sellerNeedsNumber: countryWords(document.seller.address.country).sellerNeedsNumber,
    },
  )
  const taxed = tax.map(({ code, line, message }) => {
    const where = line === null ? '' : `Line ${line + 1}: `
    return { code, blocking: true, message: `${where}${message}` }
  })
  // A rate that cannot stand has no total to look at.
  const total = taxed.some(({ code }) => code.startsWith('rate-')) ? [] : totalIssues(document)
  return [...partyIssues(facts), ...lineIssues(document), ...taxed, ...total]
}
