import * as z from 'zod'
import { dayField, text } from '../frame/fields'
import { envelope } from '../frame/schema'

/** What people type to promise something and to say that it is kept. Pure. */

export const promiseFollowUpSchema = envelope.extend({
  tankId: z.uuid('Choose a tank.'),
  /** The visit on which it was promised; blank where it was not on one. */
  visitId: z.union([z.literal(''), z.uuid()]).default(''),
  what: text(300).min(1, 'What was promised?'),
  dueOn: dayField(),
  personId: z.union([z.literal(''), z.uuid('Choose one from the list.')]).default(''),
})
export type PromiseFollowUpInput = z.output<typeof promiseFollowUpSchema>

export const doneFollowUpSchema = envelope.extend({ followUpId: z.uuid(), note: text(500).default('') })
