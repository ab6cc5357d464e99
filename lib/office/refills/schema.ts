/** What is typed about containers at a tank and their levels; the same on the screen and on the server. */
import * as z from 'zod'
import { currentSlug } from '@/lib/trade/catalogue/formerly'
import { REFILL_KIND_SLUGS, REFILL_KINDS, type RefillKind, staffMayFill } from '@/lib/trade/refill-kinds'
import { commandFields, isoDate, optionalId, shortText } from '../clients/schema'
import { text } from '../frame/fields'
import { readFigure } from '../frame/typed-figures'

const MOST = 99_999_999
const FULL_WORDS = 'How much it holds full: a figure above 0, such as 25 or 4.9. Write 1500, not 1,500.'
const EMPTY_WORDS = 'A figure from 0, below the full one. Blank is 0.'
const LEVEL_WORDS = 'A figure from 0, such as 14 or 2.5. Write 1500, not 1,500.'

/** A level as typed; null for blank. The schema has refused whatever cannot be read. */
export function levelOf(text: string): number | null {
  return text.trim() === '' ? null : readFigure(text)
}
const isLevel = (text: string) => {
  const value = levelOf(text)
  return text.trim() === '' || (value !== null && value >= 0 && value <= MOST)
}

const reservoirFields = {
  kind: text(60).transform(currentSlug).pipe(z.enum(REFILL_KIND_SLUGS, 'What is in it?')),
  label: shortText.min(1, 'What do you call it?'),
  equipmentId: optionalId.default(''),
  unit: text(20).min(1, 'Counted in what?'),
  capacity: text(30),
  emptyAt: text(30),
  filledBy: z.enum(['technician', 'site-staff'], 'Who fills it?'),
}

export type { RefillKind }

type Typed = Pick<z.output<z.ZodObject<typeof reservoirFields>>, 'kind' | 'unit' | 'capacity' | 'emptyAt' | 'filledBy'>

function checkReservoir({ kind, unit, capacity, emptyAt, filledBy }: Typed, context: z.RefinementCtx): void {
  const units: readonly string[] = REFILL_KINDS[kind].units
  if (!units.includes(unit))
    context.addIssue({ code: 'custom', path: ['unit'], message: `This is counted in ${units.join(', ')}.` })
  if (filledBy === 'site-staff' && !staffMayFill(kind))
    context.addIssue({
      code: 'custom',
      path: ['filledBy'],
      message: 'We fill this ourselves: it is not safe in other hands.',
    })
  const full = readFigure(capacity)
  const fits = full !== null && full > 0 && full <= MOST
  if (!fits) context.addIssue({ code: 'custom', path: ['capacity'], message: FULL_WORDS })
  const empty = levelOf(emptyAt) ?? (emptyAt.trim() === '' ? 0 : -1)
  if (fits && (empty < 0 || empty >= full))
    context.addIssue({ code: 'custom', path: ['emptyAt'], message: EMPTY_WORDS })
}

export const addReservoirSchema = z
  .object({ ...commandFields, tankId: z.uuid(), ...reservoirFields })
  .superRefine(checkReservoir)
export const editReservoirSchema = z
  .object({ ...commandFields, reservoirId: z.uuid(), ...reservoirFields })
  .superRefine(checkReservoir)
export type AddReservoirInput = z.infer<typeof addReservoirSchema>
export type ReservoirFields = Omit<AddReservoirInput, 'commandId' | 'businessId' | 'tankId'>

export const EMPTY_RESERVOIR: Omit<ReservoirFields, 'kind'> = {
  label: '',
  equipmentId: '',
  unit: '',
  capacity: '',
  emptyAt: '',
  filledBy: 'technician',
}

const levelFields = {
  measuredOn: isoDate,
  levelBefore: text(30).refine(isLevel, LEVEL_WORDS),
  levelAfter: text(30).refine(isLevel, LEVEL_WORDS),
}
const oneLevel = { path: ['levelBefore'], message: 'Say at least one level.' }
const hasLevel = ({ levelBefore, levelAfter }: { levelBefore: string; levelAfter: string }) =>
  levelBefore !== '' || levelAfter !== ''

/** A level somebody told, outside a visit. */
export const recordLevelSchema = z
  .object({ ...commandFields, reservoirId: z.uuid(), ...levelFields })
  .refine(hasLevel, oneLevel)
/** What one record should have read; the wrong one stays in the past. */
export const correctLevelSchema = z
  .object({ ...commandFields, levelId: z.uuid(), ...levelFields })
  .refine(hasLevel, oneLevel)
