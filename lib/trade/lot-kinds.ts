/** What comes in lots: deliveries that several tanks share. Imports nothing: forms on the phone ask for it. */
export const LOT_KINDS = {
  salt: 'salt',
  reagent: 'reagent',
  food: 'food',
  lamp: 'lamps',
  tube: 'tubes',
  medium: 'filter medium',
  other: 'something else',
} as const
export type LotKind = keyof typeof LOT_KINDS
