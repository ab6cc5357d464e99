import * as z from 'zod'
import { text } from './fields'

/** Of the codes a machine has names for, those that are no country's: reserved in ISO 3166-1, or made by Unicode. */
const NO_COUNTRY = new Set('AC CP CQ DG EA EU EZ IC QO TA UN XA XB ZZ'.split(' '))

const regionNames = new Intl.DisplayNames('en', { type: 'region', fallback: 'none' })

/** Two letters as typed → the code that ISO 3166-1 has for them: `uk` → `GB`. Whatever is no two letters comes back in capitals. */
export function countryCode(typed: string): string {
  const letters = typed.trim().toUpperCase()
  if (!/^[A-Z]{2}$/.test(letters)) return letters
  // The registry of language tags knows the codes that people write for others (UK) and those that countries had before.
  return new Intl.Locale('und', { region: letters }).region ?? letters
}

/** Whether this is an ISO 3166-1 two-letter code that this machine has a country's name for. */
export function isCountry(code: string): boolean {
  if (!/^[A-Z]{2}$/.test(code) || NO_COUNTRY.has(code) || countryCode(code) !== code) return false
  return regionNames.of(code) !== undefined
}

const WORDS = 'Write the two letters of the country, like GB.'

/** A country that has to be there; its code. */
export const countryField = text(2, WORDS)
  .transform(countryCode)
  .pipe(z.string().max(2, WORDS).refine(isCountry, WORDS))

/** One that may stay empty; as it was typed. */
export const optionalCountryField = text(2, WORDS).refine(
  (typed) => typed === '' || isCountry(countryCode(typed)),
  WORDS,
)

/** Every country by its name. */
export function countryChoices(): { value: string; label: string }[] {
  const letters = Array.from({ length: 26 }, (_, place) => String.fromCharCode(65 + place))
  return letters
    .flatMap((first) => letters.map((second) => first + second))
    .filter(isCountry)
    .map((value) => ({ value, label: regionNames.of(value) ?? value }))
    .toSorted((a, b) => a.label.localeCompare(b.label, 'en'))
}
