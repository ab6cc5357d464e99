import * as z from 'zod'
import { dayField, text } from '../frame/fields'
import { envelope } from '../frame/schema'
import { CURE_CONFIDENCES } from '../visits/words'

/** What a search for a cause is told, and how its end is written down. Pure. */

const name = text(60).min(1)

/** One thing that was done in a search, in the order in which it was done. */
export const moveSchema = z.discriminatedUnion('did', [
  z.object({ did: z.literal('answered'), check: name, answer: name }),
  z.object({ did: z.literal('skipped'), check: name }),
  /** Plug out, lifted out, open: what a step needs first. */
  z.object({ did: z.literal('readied'), setUp: name }),
  /** Looked at and seen not to be it, or put right in vain. */
  z.object({ did: z.literal('ruled-out'), cause: name }),
  /** Somebody goes their own way: this cause next. */
  z.object({ did: z.literal('turned-to'), cause: name }),
  /** That was it; or the honest end. Only the words about it are missing. */
  z.object({ did: z.literal('found'), cause: name }),
])
export type Move = z.output<typeof moveSchema>

const MOST_MOVES = 200
const movesSchema = z.array(moveSchema).max(MOST_MOVES)

/** Moves as an address or a form's hidden field holds them; none where they are no moves. */
export function readMoves(sent: string | undefined): Move[] {
  return movesSchema.safeParse(parsedJson(sent ?? '')).data ?? []
}

const movesField = z.union([movesSchema, text(40_000).transform(readMoves)])

function parsedJson(words: string): unknown {
  try {
    return JSON.parse(words === '' ? '[]' : words)
  } catch {
    return null
  }
}

const optionalId = z.union([z.uuid(), z.literal('')]).default('')

/** The end of a search. */
export const foundCauseSchema = envelope.extend({
  visitId: z.uuid(),
  sign: name,
  equipmentId: optionalId,
  cause: name,
  moves: movesField,
  /** Of several devices at which it can be, the one. */
  atDeviceId: optionalId,
  asFound: z.enum(['needs_it', 'failed'], 'How bad was it? Choose one.').optional(),
  putRight: z.enum(['now', 'later'], 'Was it put right? Choose one.').optional(),
  asLeft: text(1000).default(''),
  cureConfidence: z.enum(CURE_CONFIDENCES).or(z.literal('')).default(''),
  followUp: text(1000).default(''),
  followUpOn: z.union([dayField(), z.literal('')]).default(''),
})
export type FoundCause = z.output<typeof foundCauseSchema>

/** A sign with all that its search needs, in the words of the business. */
export type SignView = {
  sign: string
  words: string
  /** Days after which one looks again at what was not found. */
  lookAgainDays: number
  firstSteps: StepView[]
  beforeLeaving: StepView[]
  causes: CauseView[]
  checks: CheckView[]
  setUps: SetUpView[]
}
export type StepView = { text: string; cautions: string[] }
export type CauseView = {
  slug: string
  name: string
  remedy: string
  minutes: number
  needs: readonly string[]
  cautions: string[]
  /** Cases of it here, of all cases of this sign. */
  seen: number
  last: boolean
  /** The devices of this tank at which it can be: how it was found is asked; of several, at which. None: it is no device's. */
  devices: { id: string; label: string }[]
  /** What puts it right is another device in its place. */
  exchanges: boolean
  /** The sign with which the search goes on. */
  leadsTo: { sign: string; words: string } | null
}
export type CheckView = {
  slug: string
  question: string
  minutes: number
  needs: readonly string[]
  running: boolean
  answers: { slug: string; words: string; now: string | null; ends: boolean }[]
  cautions: string[]
}
export type SetUpView = { slug: string; name: string; minutes: number; cautions: string[] }
