import * as z from 'zod'
import { text } from '../frame/fields'
import { envelope } from '../frame/schema'

/** What is written down of a call. Pure. */
export const logCallSchema = envelope.extend({
  tankId: z.uuid(),
  /** A slug of the scripts, or `other`. */
  sign: text(60).min(1, 'What did they say? Choose one.'),
  said: text(2000),
  told: text(2000).min(1, 'What did you tell them? Write it in a few words.'),
  verdict: z.enum(['go', 'wait'], 'Does somebody go? Choose one.'),
})

/** What is none of the scripts. */
export const OTHER_SIGN = 'other'
