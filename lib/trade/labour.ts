/** What a minute of our work costs to start from, until the business states its own costs. */

/**
 * Minor units a minute by currency: about what an hour of a trade costs there, 48.00 in pounds, 60.00 in dollars, 4,800 yen, 600 rupees. Orders
 * of magnitude, from memory; they only have to stand beside the amounts that the business states in the same money.
 */
const MINOR_UNITS_PER_MINUTE: Readonly<Record<string, number>> = {
  ...{ GBP: 80, EUR: 90, USD: 100, CHF: 160, CAD: 130, AUD: 130, NZD: 130, SGD: 110 },
  ...{ SEK: 1000, NOK: 1000, DKK: 900, PLN: 250, CZK: 1200, RON: 250, HUF: 20_000, TRY: 1500 },
  ...{ JPY: 80, KRW: 800, HKD: 700, INR: 1000, THB: 800, PHP: 600, ZAR: 700, BRL: 200, MXN: 700, AED: 300 },
}
/** Another currency of two decimals or none, and of three. From memory. */
const OTHERWISE = 80
const OTHERWISE_OF_THREE_DECIMALS = 200

/**
 * Minor units of a currency (ISO 4217 code) for a minute of work. Errors: RangeError where the code is not three letters.
 * @example labourMinorPerMinute('INR') // 1000: 600 rupees an hour
 */
export function labourMinorPerMinute(currency: string): number {
  const known = MINOR_UNITS_PER_MINUTE[currency]
  if (known !== undefined) return known
  const { maximumFractionDigits } = new Intl.NumberFormat('en', { style: 'currency', currency }).resolvedOptions()
  return maximumFractionDigits === 3 ? OTHERWISE_OF_THREE_DECIMALS : OTHERWISE
}
