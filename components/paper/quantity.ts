import { numberFormat } from './formats'

export type QuantityProps = {
  value: number
  /** As it is read, e.g. "meq/L", "°C", "%". */
  unit?: string
  locale?: string
  /** Fixed number of decimals; without it, up to three. */
  decimals?: number
}

/** A figure with its unit, never parted at a line's end. */
export function quantityWords({ value, unit, locale = 'en-GB', decimals }: QuantityProps): string {
  const digits =
    decimals === undefined
      ? { maximumFractionDigits: 3 }
      : { minimumFractionDigits: decimals, maximumFractionDigits: decimals }
  const figure = numberFormat(locale, digits).format(value)
  return unit === undefined ? figure : `${figure}\u00a0${unit}`
}
