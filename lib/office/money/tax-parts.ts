/**
 * A rate made of several named taxes: a state's, a city's and a transit district's sales tax on one line. Pure.
 *
 * Rounding: each named tax is reckoned once per document on the sum of the lines it lies on and rounded half up. That is the invoice basis which
 * section 324 of the Streamlined Sales and Use Tax Agreement lets a seller choose (to the third decimal, up where it is more than four; read as
 * Rhode Island has adopted it, General Laws § 44-18.1-25), and the same way of going as EN 16931 BR-CO-17 has for one category and rate. The
 * agreement lets state and local taxes be rounded together too; here each is a sum of its own, for its own return.
 */
import * as z from 'zod'
import { text } from '../frame/fields'
import { exactDecimal, type TaxPart } from './tax'

const MOST_PARTS = 6
const PART = /^(.*[^\s\d.,%].*?)\s+(\d{1,3}(?:[.,]\d{1,4})?)\s*%?$/
const stored = z.array(z.object({ name: text(60), ratePercent: text(10) })).max(MOST_PARTS)

/** The column `tax_parts`. Errors: ZodError where it holds anything else than what was written there. */
export function storedTaxParts(column: unknown): TaxPart[] {
  return stored.parse(column)
}

/**
 * Named taxes as a person types them; null where they cannot be read, none for a blank. Names are told apart by their words.
 * @example readTaxParts('State 4 + City 4.5 + Transit 0.375')
 */
export function readTaxParts(typed: string): TaxPart[] | null {
  if (typed.trim() === '') return []
  const parts: TaxPart[] = []
  for (const piece of typed.split(/[+;\n]/)) {
    const [, name, rate] = PART.exec(piece.trim()) ?? []
    if (name === undefined || rate === undefined || name.length > 60) return null
    const ratePercent = exactDecimal(rate.replace(',', '.'), 'tax rate').toFixed()
    const isTwice = parts.some((part) => part.name.toLowerCase() === name.toLowerCase())
    if (isTwice || ratePercent === '0') return null
    parts.push({ name, ratePercent })
  }
  return parts.length > MOST_PARTS ? null : parts
}

/** The same text again: "State 4 + City 4.5". */
export function taxPartsText(parts: readonly TaxPart[]): string {
  return parts.map(({ name, ratePercent }) => `${name} ${ratePercent}`).join(' + ')
}

/** The rate that they make together. @example sumOfParts([{ name: 'State', ratePercent: '4' }]) // '4' */
export function sumOfParts(parts: readonly TaxPart[]): string {
  return parts.reduce((sum, part) => sum.plus(part.ratePercent), exactDecimal('0', 'tax rate')).toFixed()
}
