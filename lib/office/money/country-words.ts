/**
 * What a paper calls things in a business's country: its tax, its numbers, the categories a line may have. Pure.
 *
 * Sources: what must stand on an invoice in the United Kingdom, VAT Regulations 1995 (SI 1995/2518), regulation 14(1), as HM Revenue and Customs
 * sums it up in its manual VATREC5010; the words for what is not taxed, EN 16931-1 VAT category rules, read in the published rule file of release 1.3.16; names of the taxes of
 * other countries and the American words: common practice, no source.
 */
import type { TaxCategory } from './tax'

const EUROPEAN_UNION = 'AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK'.split(' ')
const VALUE_ADDED_TAX = new Set([...EUROPEAN_UNION, 'GB', 'IM', 'XI', 'CH', 'LI', 'NO', 'IS', 'ZA', 'AE'])
const GOODS_AND_SERVICES_TAX = new Set(['AU', 'NZ', 'SG', 'IN', 'JE'])

export type CountryWords = {
  /** "VAT", "GST", "Sales tax"; "Tax" where the country is not known here. */
  tax: string
  /** Before the tax office's number of a party: "VAT no." */
  taxNumber: string
  companyNumber: string
  /** Whether a paper that charges tax must bear the seller's number. */
  sellerNeedsNumber: boolean
  /** In the totals. */
  categories: Readonly<Record<TaxCategory, string>>
  /** In the column of a line, where a rate of 0 does not tell them apart. */
  onLine: Readonly<Record<Exclude<TaxCategory, 'S'>, string>>
}

function withTaxCalled(tax: string, taxNumber: string): CountryWords {
  return {
    tax,
    taxNumber,
    companyNumber: 'Company no.',
    sellerNeedsNumber: true,
    categories: {
      S: tax,
      Z: 'Zero rated',
      E: 'Exempt',
      AE: 'Reverse charge',
      K: 'Supply within the EU',
      G: 'Export',
      O: `Outside the scope of ${tax === 'Tax' ? 'tax' : tax}`,
    },
    onLine: { Z: 'Zero rated', E: 'Exempt', AE: 'Reverse charge', K: 'EU supply', G: 'Export', O: 'Outside scope' },
  }
}

const SALES_TAX: CountryWords = {
  ...withTaxCalled('Sales tax', 'Tax ID'),
  // A permit's number is asked for by the state, not printed for the client.
  sellerNeedsNumber: false,
  categories: { ...withTaxCalled('Sales tax', '').categories, Z: 'Not taxed', O: 'Not taxed' },
  onLine: { ...withTaxCalled('Sales tax', '').onLine, Z: 'Not taxed', O: 'Not taxed' },
}

/** The words of a country by its ISO 3166-1 code. */
export function countryWords(country: string): CountryWords {
  if (country === 'US' || country === 'PR') return SALES_TAX
  if (country === 'CA') return withTaxCalled('GST/HST', 'GST/HST no.')
  if (country === 'AU') return withTaxCalled('GST', 'ABN')
  if (VALUE_ADDED_TAX.has(country)) return withTaxCalled('VAT', 'VAT no.')
  if (GOODS_AND_SERVICES_TAX.has(country)) return withTaxCalled('GST', 'GST no.')
  return withTaxCalled('Tax', 'Tax no.')
}

/**
 * What a party's number is called. In the European Union a VAT number begins with its country's letters (Greece: EL; VAT Directive 2006/112/EC, article
 * 215, from memory); one that does not is a number of another register of the tax office.
 */
export function taxNumberWords(country: string, taxNumber: string): string {
  const letters = country === 'GR' ? 'EL' : country
  const isOther = EUROPEAN_UNION.includes(country) && !taxNumber.toUpperCase().startsWith(letters)
  return isOther ? 'Tax no.' : countryWords(country).taxNumber
}

/** The words of papers issued before a country had words of its own: what was issued says what it said. */
export const FORMER_WORDS: CountryWords = {
  ...withTaxCalled('Tax', 'Tax no.'),
  categories: {
    ...withTaxCalled('Tax', 'Tax no.').categories,
    G: 'Export outside the EU',
    O: 'Outside the scope of tax',
  },
  onLine: { Z: '0\u00a0%', E: '0\u00a0%', AE: '0\u00a0%', K: '0\u00a0%', G: '0\u00a0%', O: 'none' },
}
