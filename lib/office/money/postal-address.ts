/**
 * A postal address in its pieces, and the lines it makes on a letter, in the order of its country. Pure.
 *
 * Source of the orders: the address formats that the Universal Postal Union publishes by country (from memory, as common practice has them); what is
 * not listed is written as most of Europe does, postcode before place.
 */
import * as z from 'zod'

export const postalAddressSchema = z.object({
  /** Street, number, house, department: as typed, one line each. */
  streetLines: z.array(z.string()),
  place: z.string(),
  /** County, state or province; its short form where the post uses one. */
  region: z.string(),
  postcode: z.string(),
  /** ISO 3166-1 alpha-2; blank where nobody said. */
  country: z.string(),
})
export type PostalAddress = z.infer<typeof postalAddressSchema>

type Order =
  | 'place-region-postcode'
  | 'place-postcode-apart'
  | 'place-postcode'
  | 'postcode-place'
  | 'postcode-place-region'

const ORDERS: Readonly<Record<Exclude<Order, 'postcode-place'>, readonly string[]>> = {
  // "Portland, OR 97201"; Canada and Australia without a comma.
  'place-region-postcode': ['US', 'PR', 'CA', 'AU'],
  // Place and postcode on a line each.
  'place-postcode-apart': ['GB', 'IE', 'GG', 'JE', 'IM', 'GI', 'ZA'],
  // "Wellington 6011"
  'place-postcode': ['NZ', 'SG', 'IN'],
  // "00184 Roma RM"
  'postcode-place-region': ['IT', 'ES', 'MX'],
}

function orderOf(country: string): Order {
  for (const [order, countries] of Object.entries(ORDERS)) if (countries.includes(country)) return order as Order // its keys
  return 'postcode-place'
}

const joined = (...words: string[]) => words.filter((word) => word !== '').join(' ')

/** The lines under the street. `home`: the country of whoever writes, in whose way an address without a country is written. */
function localityLines({ place, region, postcode, country }: PostalAddress, home: string): string[] {
  const code = country || home
  switch (orderOf(code)) {
    case 'place-region-postcode': {
      const comma = code === 'US' && place !== '' && joined(region, postcode) !== '' ? ',' : ''
      return [joined(`${place}${comma}`, region, postcode)]
    }
    case 'place-postcode-apart':
      return [place, region, postcode]
    case 'place-postcode':
      return [joined(place, postcode), region]
    case 'postcode-place-region':
      return [joined(postcode, place, region)]
    case 'postcode-place':
      return [joined(postcode, place), region]
  }
}

/**
 * The address as lines, without the name. The country stands last, in capitals, on what goes abroad (UPU, from memory): in the language of the
 * country it is sent from. `abroad`: the country it is read from, where that is another than `home`.
 */
export function addressLines(
  address: PostalAddress,
  { home, readIn = home, language }: { home: string; readIn?: string; language: string },
): string[] {
  const { country } = address
  const isAbroad = country !== '' && country !== readIn
  return [
    ...address.streetLines,
    ...localityLines(address, home),
    isAbroad ? countryName(country, language).toUpperCase() : '',
  ]
    .map((line) => line.trim())
    .filter((line) => line !== '')
}

function countryName(country: string, language: string): string {
  return /^[A-Z]{2}$/.test(country)
    ? (new Intl.DisplayNames(language, { type: 'region' }).of(country) ?? country)
    : country
}

/** Text of one or more lines as street lines: nothing of it is lost but blanks around a line. */
export function streetLinesOf(typed: string): string[] {
  return typed
    .split(/\r\n|\r|\n/)
    .map((line) => line.trim())
    .filter((line) => line !== '')
}
