import { z } from 'zod'
import { envelope } from '../people/schema'

/** "364" or, for "only when it is needed", nothing. */
const days = z
  .string()
  .regex(/^(\d{1,5}(\.\d+)?)?$/)
  .transform((value) => (value === '' ? null : Number(value)))

const DEVICE = /^device-(.+)$/

/** An answer to one proposal: at which devices, yes or no. Ticked devices come as `device-<id>`. */
export const decideSchema = envelope
  .extend({
    careTask: z.string().min(1).max(200),
    intervalDays: days,
    formerDays: days,
    decision: z.enum(['accepted', 'declined']),
  })
  .catchall(z.string())
  .transform((fields) => {
    const equipmentIds = Object.keys(fields).flatMap((name) => DEVICE.exec(name)?.[1] ?? [])
    const { commandId, businessId, careTask, intervalDays, formerDays, decision } = fields
    return { commandId, businessId, careTask, intervalDays, formerDays, decision, equipmentIds }
  })
  .pipe(
    z.object({
      commandId: z.uuid(),
      businessId: z.uuid(),
      careTask: z.string(),
      intervalDays: z.number().nullable(),
      formerDays: z.number().nullable(),
      decision: z.enum(['accepted', 'declined']),
      equipmentIds: z.array(z.uuid()).min(1, 'Tick at least one device.').max(5000),
    }),
  )

/** An answer to be turned round. */
export const takeBackSchema = envelope.extend({ answerId: z.uuid() })

/** An interval of the owner's own making for one task on one device. Empty weeks: only when it is needed. */
export const setIntervalSchema = envelope.extend({
  equipmentId: z.uuid(),
  careTask: z.string().min(1).max(200),
  weeks: z
    .string()
    .trim()
    .transform((value) => value.replace(',', '.'))
    .pipe(z.string().regex(/^(\d{1,3}(\.\d)?)?$/, 'Write weeks, like 26, or leave it empty: only when it is needed.'))
    .refine((value) => value === '' || Number(value) > 0, 'Write more than 0 weeks, or leave it empty.'),
})

/** What a need costs more at one client; amounts as typed. */
export const clientCostSchema = envelope.extend({
  clientId: z.uuid(),
  travel: z.string().trim().max(20),
  goodwill: z.string().trim().max(20),
  animalsPerDay: z.string().trim().max(20),
})
