/**
 * How many decimals a currency has, and money as integer minor units (pence, cents, yen, fils).
 *
 * Source of the exceptions: ISO 4217 list one, minor unit column (from memory, list of 2024). Every other code has two.
 */

import { withoutGrouping, withPlainMinus } from '../frame/numbers'

const ZERO_DECIMALS = 'BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF'
const THREE_DECIMALS = 'BHD IQD JOD KWD LYD OMR TND'
const FOUR_DECIMALS = 'CLF UYW'

const DECIMALS = new Map<string, number>([
  ...ZERO_DECIMALS.split(' ').map((code) => [code, 0] as const),
  ...THREE_DECIMALS.split(' ').map((code) => [code, 3] as const),
])

/**
 * Decimals of a currency: 2 for most, 0 for a yen, 3 for a Kuwaiti dinar.
 * Errors: RangeError when the code is not three capital letters, or is one of the two accounting units with four decimals.
 * EN 16931 allows no more than two decimals in an amount (BR-DEC-*): an invoice in a three-decimal currency adds up
 * here, but cannot be sent as an EN 16931 document.
 * @example currencyDecimals('GBP') // 2
 */
export function currencyDecimals(currency: string): number {
  if (!/^[A-Z]{3}$/.test(currency)) throw new RangeError(`a currency is three capital letters, got "${currency}"`)
  if (FOUR_DECIMALS.includes(currency)) throw new RangeError(`${currency} has four decimals and cannot be invoiced in`)
  return DECIMALS.get(currency) ?? 2
}

/**
 * Minor units as plain decimal text: a point, no grouping, all decimals of the currency. Never in exponent form.
 * Errors: RangeError when the amount is not a whole number.
 * @example minorToDecimalText(-29736, 'GBP') // '-297.36'
 */
export function minorToDecimalText(amountMinor: number, currency: string): string {
  const decimals = currencyDecimals(currency)
  if (!Number.isSafeInteger(amountMinor)) throw new RangeError(`an amount is whole minor units, got ${amountMinor}`)
  const digits = String(Math.abs(amountMinor)).padStart(decimals + 1, '0')
  const whole = digits.slice(0, digits.length - decimals)
  const sign = amountMinor < 0 ? '-' : ''
  return decimals === 0 ? `${sign}${whole}` : `${sign}${whole}.${digits.slice(-decimals)}`
}

/**
 * What a person typed ("297.36", "297,36", "1 297.36", "1,297.36", "£297.36", with either minus) as minor units; null when it is no amount of this currency.
 * A lone comma is read as the decimal sign, or as one that groups thousands where three figures follow it and the currency has not three
 * decimals: "1,297" is never one pound thirty. Null too where the currency is none, or one in which nothing can be invoiced.
 */
export function amountTextToMinor(text: string, currency: string): number | null {
  if (!/^[A-Z]{3}$/.test(currency) || FOUR_DECIMALS.includes(currency)) return null
  const decimals = currencyDecimals(currency)
  const plain = withoutGrouping(withoutSign(withPlainMinus(text.trim()), currency))
  const isGrouped = /^-?[1-9]\d{0,2}(,\d{3})+$/.test(plain)
  if (isGrouped && decimals === 3) return null
  const match = /^(-?)(\d+)(?:[.,](\d+))?$/.exec(isGrouped ? plain.replaceAll(',', '') : plain)
  if (!match) return null
  const [, sign, whole = '', fraction = ''] = match
  if (fraction.length > decimals) return null
  const amountMinor = Number(`${whole}${fraction.padEnd(decimals, '0')}`)
  if (!Number.isSafeInteger(amountMinor)) return null
  return sign === '-' && amountMinor !== 0 ? -amountMinor : amountMinor
}

/** Without the sign or the letters of its own currency, before or behind; those of another one stay, and make it no amount. */
function withoutSign(typed: string, currency: string): string {
  const shown = new Intl.NumberFormat('en', { style: 'currency', currency, currencyDisplay: 'narrowSymbol' })
  const symbol = shown.formatToParts(0).find(({ type }) => type === 'currency')?.value ?? currency
  for (const sign of [symbol, currency]) {
    const minus = typed.startsWith('-') ? '-' : ''
    const rest = typed.slice(minus.length)
    if (rest.startsWith(sign)) return `${minus}${rest.slice(sign.length).trimStart()}`
    if (rest.endsWith(sign)) return `${minus}${rest.slice(0, -sign.length).trimEnd()}`
  }
  return typed
}
