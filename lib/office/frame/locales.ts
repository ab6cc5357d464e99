/** The ways of writing dates and numbers that can be chosen (BCP 47 tags), English first. */
export const LOCALES = [
  'en-GB',
  'en-US',
  'en-IE',
  'en-AU',
  'en-CA',
  'en-NZ',
  'de-DE',
  'de-AT',
  'de-CH',
  'fr-FR',
  'fr-BE',
  'nl-NL',
  'nl-BE',
  'es-ES',
  'it-IT',
  'pt-PT',
  'pl-PL',
  'sv-SE',
  'da-DK',
  'nb-NO',
  'fi-FI',
  'cs-CZ',
] as const

/** How dates and numbers are written in a country by default; in English where none of its languages can be chosen. */
export function localeOfCountry(country: string): string {
  return LOCALES.find((tag) => tag.endsWith(`-${country}`)) ?? 'en-GB'
}
