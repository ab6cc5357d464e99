import { z } from 'zod'

/** What people type to promise something and to say that it is kept. Pure. */
const envelope = z.object({ commandId: z.uuid(), businessId: z.uuid() })
const words = (longest: number) => z.string().trim().max(longest, `Take at most ${longest} characters.`)

export const promiseFollowUpSchema = envelope.extend({
  tankId: z.uuid('Choose a tank.'),
  /** The visit on which it was promised; blank where it was not on one. */
  visitId: z.union([z.literal(''), z.uuid()]).default(''),
  what: words(300).min(1, 'What was promised?'),
  dueOn: z.iso.date('Choose a day.'),
  personId: z.union([z.literal(''), z.uuid('Choose one from the list.')]).default(''),
})
export type PromiseFollowUpInput = z.output<typeof promiseFollowUpSchema>

export const doneFollowUpSchema = envelope.extend({ followUpId: z.uuid(), note: words(500).default('') })
export type DoneFollowUpInput = z.output<typeof doneFollowUpSchema>
