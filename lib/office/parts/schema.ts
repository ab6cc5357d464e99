/** What is typed about parts, places, suppliers and stock; the same on the screen and on the server. Figures stay as typed; the commands read them. */
import * as z from 'zod'
import { currentSlug } from '@/lib/trade/catalogue/formerly'
import {
  commandFields,
  isoDate,
  longText,
  optionalId,
  optionalIsoDate,
  shortText,
  wholeNumberText,
} from '../clients/schema'
import { isRecord, text } from '../frame/fields'

const QUANTITY_WORDS = 'How many? A figure such as 2 or 0.5, with three decimals at most.'
const figure = /^\d{1,6}([.,]\d{1,3})?$/

/** A quantity as typed → the number; null where it is none. A comma is read as a point. */
export function readQuantity(text: string): number | null {
  const trimmed = text.trim()
  return figure.test(trimmed) ? Number(trimmed.replace(',', '.')) : null
}

/** Counted one by one: half a piece lies nowhere. */
const PIECES = /^(pieces?|pcs?\.?)$/i
export const NOT_WHOLE = 'It is counted in pieces: a whole number, please.'
/** Whether a quantity can be, counted in this unit. */
export const fitsUnit = (quantity: number, unit: string): boolean => Number.isInteger(quantity) || !PIECES.test(unit)

const quantityOf = (fits: (value: number) => boolean) =>
  text(20, QUANTITY_WORDS).refine((typed) => {
    const value = readQuantity(typed)
    return value !== null && fits(value)
  }, QUANTITY_WORDS)
const quantity = quantityOf((value) => value > 0)
const money = text(20).regex(/^(\d[\d \u00a0\u202f]*([.,]\d+)?)?$/, 'An amount such as 12.50, or blank.')

const partFields = {
  name: shortText.min(1, 'What is the part called?'),
  unit: text(20).min(1, 'Counted in what? Piece, metre, litre.'),
  supplierId: optionalId,
  priceItemId: optionalId,
  cost: money,
  packSize: wholeNumberText(1, 10_000, 'How many come in a pack? A whole number from 1.'),
  orderCost: money,
  leadTimeDays: wholeNumberText(
    0,
    365,
    'Days: a whole number from 0 to 365, or blank for the supplier’s usual ones.',
    true,
  ),
  servicePercent: text(10).refine((typed) => {
    const value = /^\d{2}([.,]\d)?$/.test(typed) ? Number(typed.replace(',', '.')) : Number.NaN
    return value >= 50 && value < 100
  }, 'A figure from 50 to 99.9, such as 95.'),
  note: longText,
}
export const addPartSchema = z.object({ ...commandFields, ...partFields })
export const editPartSchema = z.object({ ...commandFields, partId: z.uuid(), ...partFields })
export const onePartSchema = z.object({ ...commandFields, partId: z.uuid() })
export type AddPartInput = z.infer<typeof addPartSchema>
export type PartFields = Omit<AddPartInput, 'commandId' | 'businessId'>

export const EMPTY_PART: PartFields = {
  name: '',
  unit: 'piece',
  supplierId: '',
  priceItemId: '',
  cost: '',
  packSize: '1',
  orderCost: '',
  leadTimeDays: '',
  servicePercent: '95',
  note: '',
}

/** Which work uses the part: on every device of the task's class, or on one. */
export const addFitSchema = z.object({
  ...commandFields,
  partId: z.uuid(),
  careTask: text(200).min(1, 'Which work uses it?').transform(currentSlug),
  equipmentId: optionalId,
  quantity,
})
export const removeFitSchema = z.object({ ...commandFields, fitId: z.uuid() })

const supplierFields = {
  name: shortText.min(1, 'What is the supplier called?'),
  email: z.union([z.email('This does not look like an e-mail address.').max(200), z.literal('')]),
  phone: text(60),
  leadTimeDays: wholeNumberText(0, 365, 'Days from ordering to the shelf: a whole number from 0 to 365.'),
  note: longText,
}
export const addSupplierSchema = z.object({ ...commandFields, ...supplierFields })
export const editSupplierSchema = z.object({ ...commandFields, supplierId: z.uuid(), ...supplierFields })
export const oneSupplierSchema = z.object({ ...commandFields, supplierId: z.uuid() })
export type AddSupplierInput = z.infer<typeof addSupplierSchema>

const placeFields = { name: shortText.min(1, 'What do you call it?'), personId: optionalId.default('') }
export const addPlaceSchema = z.object({
  ...commandFields,
  ...placeFields,
  kind: z.enum(['shelf', 'van'], 'A shelf or a van?'),
})
export const editPlaceSchema = z.object({ ...commandFields, placeId: z.uuid(), ...placeFields })
export const onePlaceSchema = z.object({ ...commandFields, placeId: z.uuid() })

const placeId = z.uuid('Where?')
const moveFields = { partId: z.uuid('Which part?'), quantity, movedOn: isoDate, note: shortText.default('') }
/** What came in, against an order or without one. */
export const receiveSchema = z.object({ ...commandFields, ...moveFields, placeId, orderId: optionalId.default('') })
export const moveSchema = z
  .object({ ...commandFields, ...moveFields, fromPlaceId: placeId, toPlaceId: placeId })
  .refine(({ fromPlaceId, toPlaceId }) => fromPlaceId !== toPlaceId, {
    path: ['toPlaceId'],
    message: 'From one place to another: choose two.',
  })
/** What left without a visit: thrown away, or back to the supplier. */
export const takeOffSchema = z.object({
  ...commandFields,
  ...moveFields,
  placeId,
  kind: z.enum(['written-off', 'returned'], 'Thrown away, or back to the supplier?'),
})
/** A move as it should have read; 0: it never happened. */
export const correctMoveSchema = z.object({
  ...commandFields,
  moveId: z.uuid(),
  quantity: quantityOf((value) => value >= 0),
  note: shortText.default(''),
})

/** Names of the fields of a list with one figure for each part: `figure|part`. A blank one says nothing. */
export const FIGURE_PREFIX = 'figure|'

const MOST_OF_A_PART = 999_999.999
const figures = z
  .array(z.object({ partId: z.uuid(), quantity: z.number(QUANTITY_WORDS).min(0).max(MOST_OF_A_PART, QUANTITY_WORDS) }))
  .max(2000)

/** A form's `figure|<part>` fields as a list under `name`; what cannot be read is said beside its own field. */
const withFigures =
  (name: 'counts' | 'parts', fits: (value: number) => boolean) =>
  (sent: unknown, context: z.RefinementCtx): unknown => {
    if (!isRecord(sent) || name in sent) return sent
    const list = Object.entries(sent).flatMap(([field, typed]) => {
      if (!field.startsWith(FIGURE_PREFIX) || (typeof typed === 'string' && typed.trim() === '')) return []
      const partId = field.slice(FIGURE_PREFIX.length)
      const value = typeof typed === 'string' ? readQuantity(typed) : null
      if (value !== null && fits(value) && z.uuid().safeParse(partId).success) return [{ partId, quantity: value }]
      context.addIssue({ code: 'custom', path: [field], message: QUANTITY_WORDS })
      return []
    })
    return { ...sent, [name]: list }
  }

/** What somebody counted in one place. */
export const countSchema = z.preprocess(
  withFigures('counts', () => true),
  z
    .object({ ...commandFields, placeId, countedOn: isoDate, counts: figures })
    .refine(({ counts }) => counts.length > 0, { path: ['countedOn'], message: 'Write at least one figure.' }),
)

/** Ordered at one supplier at once. */
export const placeOrdersSchema = z.preprocess(
  withFigures('parts', (value) => value > 0),
  z
    .object({
      ...commandFields,
      supplierId: optionalId,
      orderedOn: isoDate,
      expectedOn: optionalIsoDate,
      note: shortText.default(''),
      parts: figures,
    })
    .refine(({ parts }) => parts.length > 0, {
      path: ['orderedOn'],
      message: 'Write a quantity for at least one part.',
    })
    .refine(({ parts }) => parts.every(({ quantity }) => quantity > 0), { path: ['parts'], message: QUANTITY_WORDS })
    .refine(({ expectedOn, orderedOn }) => expectedOn === '' || expectedOn >= orderedOn, {
      path: ['expectedOn'],
      message: 'It cannot come before it is ordered.',
    }),
)

/** What is missing of an order will not come any more. */
export const closeOrderSchema = z.object({ ...commandFields, orderId: z.uuid() })

/** What is asked of the page of a part: which page of its moves, all its devices, and a device by a part of its name. */
export const partAskedSchema = z.object({
  device: text(100).catch(''),
  devices: z.enum(['all', '']).catch(''),
  moves: z.coerce.number().int().min(1).max(100_000).catch(1),
})
export type PartAsked = z.infer<typeof partAskedSchema>
/** The page as a link opens it. */
export const FIRST_OF_PART: PartAsked = { device: '', devices: '', moves: 1 }
