/** What is typed about lots; the same on the screen and on the server. */
import { z } from 'zod'
import { LOT_KINDS, type LotKind } from '@/lib/trade'
import { commandFields, isoDate, longText, optionalIsoDate } from '../clients/schema'

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
const label = z.string().trim().min(1, 'What does it say on it? A number or a name.').max(80)

export const addLotSchema = z.object({ ...commandFields, kind, label, receivedOn: optionalIsoDate, note: longText })
export const editLotSchema = z.object({
  ...commandFields,
  lotId: z.uuid(),
  label,
  receivedOn: optionalIsoDate,
  usedUpOn: optionalIsoDate,
  note: longText,
})
export type AddLotInput = z.infer<typeof addLotSchema>
export type EditLotInput = z.infer<typeof editLotSchema>

/** One lot at several tanks at once, from the desk. */
export const tickLotSchema = z.object({
  ...commandFields,
  lotId: z.uuid(),
  usedOn: isoDate,
  tankIds: z.array(z.uuid()).min(1, 'At which tanks? Tick one at least.').max(2000),
})
export type TickLotInput = z.infer<typeof tickLotSchema>

export const takeBackUseSchema = z.object({ ...commandFields, useId: z.uuid() })
export type TakeBackUseInput = z.infer<typeof takeBackUseSchema>

/** The word for a kind, also for one that only the database knows. */
export function lotKindWords(kind: string): string {
  return LOT_KIND_OPTIONS.find(({ value }) => value === kind)?.label ?? kind
}

/** A ticked tank's field in the form is this and its id. */
export const TANK_TICK = 'tank|'

/** The fields of the tick form as the command's input: ticked tanks become a list. */
export const tickLotFormSchema = z
  .record(z.string(), z.string())
  .transform((fields) => ({
    ...fields,
    tankIds: Object.keys(fields).flatMap((name) => (name.startsWith(TANK_TICK) ? name.slice(TANK_TICK.length) : [])),
  }))
  .pipe(tickLotSchema)
