/**
 * Tax categories of an invoice line and the rules EN 16931 puts on them.
 *
 * Source: EN 16931-1 VAT category rules BR-S-*, BR-Z-*, BR-E-*, BR-AE-*, BR-IC-*, BR-G-*, BR-O-*, read in the published
 * rule file of release 1.3.16.
 */
import Decimal from 'decimal.js'

/** UNTDID 5305 codes: standard, zero rated, exempt, reverse charge, supply within the EU, export, outside the scope. */
export const TAX_CATEGORIES = ['S', 'Z', 'E', 'AE', 'K', 'G', 'O'] as const
export type TaxCategory = (typeof TAX_CATEGORIES)[number]

/** A decimal as text, or a decimal.js value (Prisma's own decimals fit). Never a binary float. */
export type DecimalInput = string | { readonly d: number[]; readonly e: number; readonly s: number; toFixed(): string }

/** A tax by its name and its rate in per cent, at most 4 decimals. */
export type TaxPart = { name: string; ratePercent: string }

export type TaxTreatment = {
  category: TaxCategory
  /** Per cent, at most 4 decimals. Null only for category O, which carries no rate at all (BR-O-05). */
  ratePercent: DecimalInput | null
  /** Why no tax is charged, in words a client can read; needed for E, AE, K, G, O and forbidden for S and Z. */
  exemptionReason?: string | null
  /** The named taxes that the rate is made of; none for a rate of one piece. Only on S. */
  parts?: readonly TaxPart[]
}

/** Plain words for each category, as printed in the tax summary of an invoice. */
export const TAX_CATEGORY_WORDS: Record<TaxCategory, string> = {
  S: 'Tax',
  Z: 'Zero rated',
  E: 'Exempt',
  AE: 'Reverse charge',
  K: 'Supply within the EU',
  G: 'Export outside the EU',
  O: 'Outside the scope of tax',
}

const NEEDS_REASON: ReadonlySet<TaxCategory> = new Set<TaxCategory>(['E', 'AE', 'K', 'G', 'O'])

/** Whether the standard asks for an exemption reason (BR-E-10, BR-AE-10, BR-IC-10, BR-G-10, BR-O-10). */
export function needsExemptionReason(category: TaxCategory): boolean {
  return NEEDS_REASON.has(category)
}

/**
 * The reason to print where the standard asks for one and the category itself says it all: the wording of EN 16931 rules
 * BR-AE-10, BR-IC-10, BR-G-10 and BR-O-10. An exemption (E) rests on a law that only the business knows.
 */
const REASON_OF_CATEGORY: Partial<Record<TaxCategory, string>> = {
  AE: 'Reverse charge',
  K: 'Intra-community supply',
  G: 'Export outside the EU',
  O: 'Not subject to VAT',
}

/** That wording; empty text where there is none. */
export function usualReason(category: TaxCategory): string {
  return REASON_OF_CATEGORY[category] ?? ''
}

// Enough digits that a product of quantity (12) and price (14) and a division keep every figure that can matter.
const Exact = Decimal.clone({ precision: 80, rounding: Decimal.ROUND_HALF_UP, toExpNeg: -100, toExpPos: 100 })

/**
 * A decimal with 80 figures and half-up rounding. Errors: RangeError, naming what was meant, when it is no number.
 */
export function exactDecimal(value: DecimalInput, what: string): Decimal {
  const text = typeof value === 'string' ? value.trim() : value.toFixed()
  if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(text)) throw new RangeError(`${what} must be a decimal number, got "${text}"`)
  return new Exact(text)
}

/** The rate in its shortest form, so that "20", "20.0" and "20.00" are one group; '0' where the category has none. */
export function rateKey(treatment: Pick<TaxTreatment, 'ratePercent'>): string {
  return treatment.ratePercent === null ? '0' : exactDecimal(treatment.ratePercent, 'tax rate').toFixed()
}

export type TaxProblemCode =
  | 'rate-missing'
  | 'rate-must-be-positive'
  | 'rate-must-be-zero'
  | 'rate-not-allowed'
  | 'reason-missing'
  | 'reason-not-allowed'
  | 'outside-scope-not-alone'
  | 'seller-tax-number-missing'
  | 'buyer-tax-number-missing'

/** Something to put right before the invoice can be issued; `line` counts from 0, null for the whole document. */
export type TaxProblem = { code: TaxProblemCode; line: number | null; message: string }

/** Who is known to the tax office; empty text counts as not known. `sellerNeedsNumber`: whether the seller's country puts the number on papers. */
export type TaxParties = { sellerTaxNumber: string | null; buyerTaxNumber: string | null; sellerNeedsNumber?: boolean }

function rateProblem(treatment: TaxTreatment): { code: TaxProblemCode; message: string } | null {
  const words = TAX_CATEGORY_WORDS[treatment.category]
  if (treatment.category === 'O') {
    // BR-O-05: no rate at all; a stored zero is read as none.
    const rated = treatment.ratePercent !== null && !exactDecimal(treatment.ratePercent, 'tax rate').isZero()
    return rated ? { code: 'rate-not-allowed', message: `“${words}” carries no tax rate. Remove the rate.` } : null
  }
  if (treatment.ratePercent === null) return { code: 'rate-missing', message: 'No tax rate is set. Choose one.' }
  const rate = exactDecimal(treatment.ratePercent, 'tax rate')
  if (treatment.category === 'S') {
    return rate.greaterThan(0)
      ? null
      : {
          code: 'rate-must-be-positive',
          message: 'A taxed line needs a rate above 0 %. For no tax choose “Zero rated”.',
        }
  }
  return rate.isZero() ? null : { code: 'rate-must-be-zero', message: `“${words}” has a rate of 0 %. Set it to 0.` }
}

function reasonProblem(treatment: TaxTreatment): { code: TaxProblemCode; message: string } | null {
  const given = (treatment.exemptionReason ?? '').trim() !== ''
  const words = TAX_CATEGORY_WORDS[treatment.category]
  if (needsExemptionReason(treatment.category) && !given) {
    return { code: 'reason-missing', message: `“${words}” needs the reason in words, for example the law it rests on.` }
  }
  if (!needsExemptionReason(treatment.category) && given) {
    return { code: 'reason-not-allowed', message: `“${words}” takes no exemption reason. Remove the reason.` }
  }
  return null
}

function partyProblems(categories: ReadonlySet<TaxCategory>, parties: TaxParties): TaxProblem[] {
  const seller = (parties.sellerTaxNumber ?? '').trim() !== ''
  const buyer = (parties.buyerTaxNumber ?? '').trim() !== ''
  const problems: TaxProblem[] = []
  const add = (code: TaxProblemCode, message: string) => problems.push({ code, line: null, message })
  const taxed = [...categories].some((category) => category !== 'O')
  const { sellerNeedsNumber = true } = parties
  if (taxed && sellerNeedsNumber && !seller)
    add('seller-tax-number-missing', 'Your tax number is missing. Add it in Settings.')
  if ((categories.has('AE') || categories.has('K')) && !buyer) {
    add('buyer-tax-number-missing', 'The client’s tax number is missing; without it tax must be charged.')
  }
  return problems
}

/**
 * Everything about tax that would make the invoice wrong, in words; an empty list means it may be issued.
 * Covers rate (BR-*-05), reason (BR-*-10), category O standing alone (BR-O-11 to 14), and tax numbers (BR-*-02).
 * The rule that an O invoice must not show tax numbers (BR-O-02) is kept by whoever writes the e-invoice, not here: a
 * printed head may well carry one.
 */
export function taxProblems(treatments: readonly TaxTreatment[], parties: TaxParties): TaxProblem[] {
  const problems: TaxProblem[] = []
  treatments.forEach((treatment, line) => {
    for (const found of [rateProblem(treatment), reasonProblem(treatment)]) if (found) problems.push({ ...found, line })
  })
  const categories = new Set(treatments.map((treatment) => treatment.category))
  if (categories.has('O') && categories.size > 1) {
    const message = 'Lines outside the scope of tax cannot share an invoice with other lines. Put them on their own.'
    problems.push({ code: 'outside-scope-not-alone', line: null, message })
  }
  return [...problems, ...partyProblems(categories, parties)]
}

/** A stored category code. Errors: RangeError for a code that is none of the standard's. */
export function readTaxCategory(code: string): TaxCategory {
  const known = TAX_CATEGORIES.find((category) => category === code)
  if (!known) throw new RangeError(`not a tax category: "${code}"`)
  return known
}
