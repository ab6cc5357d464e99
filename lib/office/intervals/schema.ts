import * as z from 'zod'
import { listOfTicked, text } from '../frame/fields'
import { envelope, slug } from '../frame/schema'

const days = z.number().min(0).max(36_525).nullable()
/** "364" or, for "only when it is needed", nothing, as a form writes it. */
const typedDays = (typed: unknown) =>
  typeof typed !== 'string'
    ? typed
    : typed === ''
      ? null
      : typed.length < 30 && /^\d/.test(typed)
        ? Number(typed)
        : typed

const TICKED = 'device-'

/** An answer to one proposal: at which devices, yes or no. A form's ticked devices come as `device-<id>`. */
export const decideSchema = z.preprocess(
  (sent) => listOfTicked(sent, TICKED, 'equipmentIds'),
  envelope.extend({
    careTask: slug,
    intervalDays: z.preprocess(typedDays, days),
    formerDays: z.preprocess(typedDays, days),
    decision: z.enum(['accepted', 'declined']),
    equipmentIds: z.array(z.uuid()).min(1, 'Tick at least one device.').max(5000),
  }),
)

/** An answer to be turned round. */
export const takeBackSchema = envelope.extend({ answerId: z.uuid() })

/** An interval of the owner's own making for one task on one device. Empty weeks: only when it is needed. */
export const setIntervalSchema = envelope.extend({
  equipmentId: z.uuid(),
  careTask: slug,
  weeks: text(20)
    .transform((value) => value.replace(',', '.'))
    .pipe(text(20).regex(/^(\d{1,3}(\.\d)?)?$/, 'Write weeks, like 26, or leave it empty: only when it is needed.'))
    .refine((value) => value === '' || Number(value) > 0, 'Write more than 0 weeks, or leave it empty.'),
})

/** What a need costs more at one client; amounts as typed. */
export const clientCostSchema = envelope.extend({
  clientId: z.uuid(),
  travel: text(20),
  goodwill: text(20),
  animalsPerDay: text(20),
})
