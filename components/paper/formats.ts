/** Formats are kept: making one takes a hundred times as long as using it, and a page writes hundreds of dates and amounts. */
const dates = new Map<string, Intl.DateTimeFormat>()
const numbers = new Map<string, Intl.NumberFormat>()

/** A way to write dates. Errors: RangeError for a zone or language that is none. */
export function dateFormat(locale: string, options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  return kept(dates, `${locale} ${JSON.stringify(options)}`, () => new Intl.DateTimeFormat(locale, options))
}

/** A way to write numbers. Errors: RangeError for a currency or language that is none. */
export function numberFormat(locale: string, options: Intl.NumberFormatOptions): Intl.NumberFormat {
  return kept(numbers, `${locale} ${JSON.stringify(options)}`, () => new Intl.NumberFormat(locale, options))
}

function kept<Format>(formats: Map<string, Format>, key: string, make: () => Format): Format {
  const known = formats.get(key)
  if (known) return known
  const made = make()
  formats.set(key, made)
  return made
}
