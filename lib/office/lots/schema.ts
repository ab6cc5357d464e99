/** What is typed about lots; the same on the screen and on the server. */
import * as z from 'zod'
import { LOT_KINDS, type LotKind } from '@/lib/trade/lot-kinds'
import { commandFields, isoDate, longText, optionalIsoDate } from '../clients/schema'
import { listOfTicked, text } from '../frame/fields'

export type { LotKind }

/** The keys of the kinds, as a select and zod want them. */
export const LOT_KIND_OPTIONS = (Object.entries(LOT_KINDS) as [LotKind, string][]).map(([value, words]) => ({
  value,
  label: words.charAt(0).toUpperCase() + words.slice(1),
}))

const kind = z.enum(
  LOT_KIND_OPTIONS.map(({ value }) => value),
  'What is it a lot of?',
)
const label = text(80).min(1, 'What does it say on it? A number or a name.')

export const addLotSchema = z.object({ ...commandFields, kind, label, receivedOn: optionalIsoDate, note: longText })
export const editLotSchema = z.object({
  ...commandFields,
  lotId: z.uuid(),
  label,
  receivedOn: optionalIsoDate,
  usedUpOn: optionalIsoDate,
  note: longText,
})

/** A ticked tank's field in the form is this and its id. */
export const TANK_TICK = 'tank|'

/** One lot at several tanks at once, from the desk. */
export const tickLotSchema = z.preprocess(
  (sent) => listOfTicked(sent, TANK_TICK, 'tankIds'),
  z.object({
    ...commandFields,
    lotId: z.uuid(),
    usedOn: isoDate,
    tankIds: z.array(z.uuid()).min(1, 'At which tanks? Tick one at least.').max(2000),
  }),
)

export const takeBackUseSchema = z.object({ ...commandFields, useId: z.uuid() })

/** The word for a kind, also for one that only the database knows. */
export function lotKindWords(kind: string): string {
  return LOT_KIND_OPTIONS.find(({ value }) => value === kind)?.label ?? kind
}
