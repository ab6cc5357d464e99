/** How a paper speaks: words of the seller's country, money with its sign, dates in the readers' order. Pure. */
import { numberFormat } from '../frame/formats'
import { type CountryWords, countryWords, FORMER_WORDS } from './country-words'
import { currencyDecimals, minorToDecimalText } from './currency'
import { dateInWords, dayAndMonth, dayOrderOf, periodInWords } from './dates-in-words'
import { type DecimalInput, exactDecimal } from './tax'

const NO_BREAK_SPACE = '\u00a0'

/** A decimal in the reader's language, from text so that no figure passes through a binary float. */
export function decimalInWords(value: DecimalInput, locale: string, minDecimals: number, maxDecimals: number): string {
  return formatted(value, locale, { minimumFractionDigits: minDecimals, maximumFractionDigits: maxDecimals })
}

function formatted(value: DecimalInput, locale: string, options: Intl.NumberFormatOptions): string {
  const exact = exactDecimal(value, 'number').toDecimalPlaces(options.maximumFractionDigits ?? 0)
  // Intl takes exact decimal text (ECMA-402, "intl mathematical value"); TypeScript's types ask for a template type.
  const text = numberFormat(locale, options).format(exact.abs().toFixed() as `${number}`)
  return exact.isNegative() && !exact.isZero() ? `−${text}` : text
}

/** "1,297.36" in the business's language; a real minus sign. No currency: whoever prints it names it once. */
export function amountInWords(amountMinor: number, currency: string, locale: string): string {
  const decimals = currencyDecimals(currency)
  return decimalInWords(minorToDecimalText(amountMinor, currency), locale, decimals, decimals)
}

/** "£1,297.36", "1.297,36 €": with the currency's sign where the language puts it, told apart from others of the same sign ("US$"). */
export function moneyInWords(amountMinor: number, currency: string, locale: string): string {
  const decimals = currencyDecimals(currency)
  const options = { minimumFractionDigits: decimals, maximumFractionDigits: decimals }
  return formatted(minorToDecimalText(amountMinor, currency), locale, { style: 'currency', currency, ...options })
}

/** "20 %" with a space that never breaks. */
export function rateInWords(ratePercent: DecimalInput, locale: string): string {
  return `${decimalInWords(ratePercent, locale, 0, 4)}${NO_BREAK_SPACE}%`
}

export type PaperManner = {
  edition: 1 | 2
  words: CountryWords
  /** In the totals. */
  money: (minor: number) => string
  rate: (ratePercent: DecimalInput) => string
  date: (isoDate: string) => string
  dayAndMonth: (isoDate: string) => string
  period: (start: string, end: string) => string
}

/** `edition` 1: as papers spoke before a country had words of its own. */
export function paperManner(
  seller: { edition: 1 | 2; address: { country: string } },
  currency: string,
  locale: string,
): PaperManner {
  const { edition } = seller
  const unbroken = (text: string) => (edition === 1 ? text : text.replaceAll(' ', NO_BREAK_SPACE))
  const order = edition === 1 ? 'day-first' : dayOrderOf(locale)
  return {
    edition,
    words: edition === 1 ? FORMER_WORDS : countryWords(seller.address.country),
    money: (minor) => (edition === 1 ? amountInWords : moneyInWords)(minor, currency, locale),
    rate: (ratePercent) => rateInWords(ratePercent, locale),
    date: (isoDate) => unbroken(dateInWords(isoDate, order)),
    dayAndMonth: (isoDate) => dayAndMonth(isoDate, order),
    period: (start, end) => periodInWords(start, end, order),
  }
}
