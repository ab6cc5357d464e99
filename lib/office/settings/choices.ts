import { LOCALES } from '../frame/locales'

/** Lists to choose from, as this machine's own edition of the standards knows them. Pure; usable in a page. */
export type Choice = { value: string; label: string }

/** IANA time zones by name, UTC first: the list leaves it out. */
export function timeZoneChoices(): Choice[] {
  return ['UTC', ...Intl.supportedValuesOf('timeZone')].map((zone) => ({
    value: zone,
    label: zone.replaceAll('_', ' '),
  }))
}

/** ISO 4217 codes with their names, the common ones of our readers' countries first. */
export function currencyChoices(): Choice[] {
  const names = new Intl.DisplayNames('en', { type: 'currency' })
  const first = ['GBP', 'EUR', 'USD']
  const rest = Intl.supportedValuesOf('currency').filter((code) => !first.includes(code))
  return [...first, ...rest].map((code) => ({ value: code, label: `${code} ${names.of(code) ?? ''}` }))
}

/** How dates and numbers are written (BCP 47 tags); the screens' words stay English. */
export function localeChoices(): Choice[] {
  const names = new Intl.DisplayNames('en', { type: 'language' })
  return LOCALES.map((tag) => ({ value: tag, label: names.of(tag) ?? tag }))
}
