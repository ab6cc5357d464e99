import { numberFormat } from './formats'

export type MoneyProps = {
  /** Amount in the currency's minor unit (pence, cent; yen have none). */
  minor: number | bigint
  /** ISO 4217 code. */
  currency: string
  locale?: string
  /** Without the currency's sign, for columns whose head names it. */
  plain?: boolean
  /** Rounded to whole units: for figures that are not known to the penny. */
  whole?: boolean
}

/**
 * An amount in the business's language. The number of decimals comes from the currency (ISO 4217 as `Intl` knows it), and the digits
 * are set as a string, so no amount is rounded on the way.
 */
export function moneyWords({ minor, currency, locale = 'en-GB', plain = false, whole = false }: MoneyProps): string {
  const digits = digitsOf(currency)
  if (whole) {
    const units = Math.round(Number(minor) / 10 ** digits)
    const style = plain ? {} : { style: 'currency' as const, currency }
    // Without this a saving of some pence against us would read "-0".
    return withMinus(numberFormat(locale, { ...style, maximumFractionDigits: 0 }).format(units === 0 ? 0 : units))
  }
  const sign = minor < 0 ? '-' : ''
  const all = String(minor < 0 ? -minor : minor).padStart(digits + 1, '0')
  const decimal = digits === 0 ? `${sign}${all}` : `${sign}${all.slice(0, -digits)}.${all.slice(-digits)}`
  const format = numberFormat(locale, {
    ...(plain ? {} : { style: 'currency', currency }),
    minimumFractionDigits: digits,
    maximumFractionDigits: digits,
  })
  // The standard lets format() take a decimal string without loss (ECMA-402, NumberFormat v3); older type definitions say number only.
  return withMinus(format.format(decimal as `${number}`))
}

/** Most languages' data write a hyphen for the minus sign; beside a range it is lost. */
const withMinus = (amount: string) => amount.replace('-', '−')

/** Minor units in one unit of a currency (100 pence, 1 yen), for the axis of a chart. */
export function minorPerUnit(currency: string): number {
  return 10 ** digitsOf(currency)
}

function digitsOf(currency: string): number {
  return numberFormat('en', { style: 'currency', currency }).resolvedOptions().maximumFractionDigits ?? 2
}

/** An amount of money; see `moneyWords`. */
export function Money(props: MoneyProps) {
  return <span className="money">{moneyWords(props)}</span>
}
