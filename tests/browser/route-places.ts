export type Place = { table: string } | { word: string }

/** What a place in an address stands for: the table whose row it names, or one word where it names none. */
export const PLACES: Readonly<Record<string, Place>> = {
  tankId: { table: 'tank' },
  clientId: { table: 'client' },
  siteId: { table: 'site' },
  visitId: { table: 'visit' },
  invoiceId: { table: 'invoice' },
  paymentId: { table: 'payment' },
  partId: { table: 'part' },
  lotId: { table: 'lot' },
  placeId: { table: 'stock_place' },
  personId: { table: 'person' },
  equipmentId: { table: 'equipment' },
  importId: { table: 'import_batch' },
  reservoirId: { table: 'reservoir' },
  photoId: { table: 'photo' },
  file: { word: 'statement' }, // of a client, whose id stands behind the question mark
  token: { word: 'no-such-token' },
  careTask: { word: 'clean-impeller' },
  equipmentClass: { word: 'return-pump' },
  failureMode: { word: 'impeller-clogged' },
}

/** The names of the places in a pattern. */
export const placesOf = (pattern: string) => [...pattern.matchAll(/\[(?:\.\.\.)?(\w+)\]/g)].map(([, name = '']) => name)

/** A real address from a pattern. */
export function fill(pattern: string, value: (place: Place) => string): string {
  return pattern.replaceAll(/\[(?:\.\.\.)?(\w+)\]/g, (_, name: string) => value(PLACES[name] ?? { word: 'x' }))
}
