/** Formats are kept: making one takes a hundred times as long as using it, and a page or a paper writes hundreds of days, clocks and amounts. */
const dates = new Map<string, Intl.DateTimeFormat>()
const numbers = new Map<string, Intl.NumberFormat>()

/** A way to write dates. Errors: RangeError for a zone or language that is none. */
export function dateFormat(locale: string, options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  const key = `${locale} ${JSON.stringify(options)}`
  const format = dates.get(key) ?? new Intl.DateTimeFormat(locale, options)
  dates.set(key, format)
  return format
}

/** A way to write numbers. Errors: RangeError for a currency or language that is none. */
export function numberFormat(locale: string, options: Intl.NumberFormatOptions): Intl.NumberFormat {
  const key = `${locale} ${JSON.stringify(options)}`
  const format = numbers.get(key) ?? new Intl.NumberFormat(locale, options)
  numbers.set(key, format)
  return format
}
