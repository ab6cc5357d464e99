/** Minor units in one unit of a currency (100 pence, 1 yen), as ISO 4217 has it by `Intl`. */
export function minorPerUnit(currency: string): number {
  return (
    10 ** (new Intl.NumberFormat('en', { style: 'currency', currency }).resolvedOptions().maximumFractionDigits ?? 2)
  )
}

/** An estimate in whole units: pence would feign a precision that no forecast has. */
export function wholeMoney(minor: number, { currency, locale }: { currency: string; locale: string }): string {
  return new Intl.NumberFormat(locale, { style: 'currency', currency, maximumFractionDigits: 0 }).format(
    minor / minorPerUnit(currency),
  )
}
