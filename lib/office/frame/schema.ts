import * as z from 'zod'
import { currentSlug } from '@/lib/trade/catalogue/formerly'
import { text } from './fields'
import type { FieldProblems } from './result'

/** What every form and action shares: who sends, for which business, and what comes back. Pure. */

/** A slug of the catalogue or a business's own; an address or a form kept from before a renaming says the former spelling. */
export const slug = text(200).min(1).transform(currentSlug)

/** What every write carries: the id it is known by, and the business the page was made for. */
export const envelope = z.object({ commandId: z.uuid(), businessId: z.uuid() })

/** A box of a form: a posted form has `on` in it or leaves it out, a command has a yes or a no. */
export const ticked = z.preprocess((value) => value === true || value === 'on' || value === 'true', z.boolean())

/**
 * What an action answers to a form. `said` is shown where the button was pressed, `next` is the page to go on to. A refusal
 * brings problems by field, words, or both; `typed` only where the form was posted before scripts had come.
 */
export type Answer<Value = unknown> =
  | { ok: true; value: Value; said?: string; next?: string }
  | { ok: false; reason: string; words?: string; fields?: FieldProblems; typed?: Record<string, string> }

/** A server action as its form knows it: the last thing it is given is what was sent. */
export type FormAction<Value = unknown> = (...sent: unknown[]) => Promise<Answer<Value>>
