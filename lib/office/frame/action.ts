import 'server-only'
import { revalidatePath } from 'next/cache'
import { headers } from 'next/headers'
import { redirect, unstable_rethrow } from 'next/navigation'
import type { z } from 'zod'
import { log } from '@/lib/platform/logging/log'
import { invalid, problemsByField, type Result } from './result'
import type { Action } from './role-actions'
import type { Answer, FormAction } from './schema'

/** What a form sends: the fields of a page, or an object where it has rows of fields. */
export type Sent = FormData | Readonly<Record<string, unknown>>

type Refusal = Extract<Result<never, string>, { ok: false }>
type Words<Value, Input> = string | ((value: Value, input: Input) => string | undefined)

/** One server action. `Who` is whoever it lets in: an actor, a session, or nobody in particular. */
export type ActionDefinition<Who, Input, Value, Reason extends string> = {
  /** Whom it lets in, as the role table says it; written down for those who list all actions. */
  may: Action | 'whoever-is-signed-in' | 'anybody'
  admit: () => Promise<{ ok: true; who: Who } | Refusal>
  /** Makes the schema's input of what was sent; without it the text fields, or the object as it is. */
  read?: (sent: Sent) => unknown
  schema: z.ZodType<Input>
  /** What else must hold between who asks and what was sent. */
  check?: (who: Who, input: Input, sent: Sent) => Refusal | null
  /** The one command. */
  command: (who: Who, input: Input) => Promise<Result<Value, Reason>>
  /** Pages to be made anew afterwards, each with all below it. */
  shows?: readonly string[]
  said?: Words<Value, Input>
  next?: Words<Value, Input>
}

type Listed = { may: ActionDefinition<unknown, unknown, unknown, string>['may']; schema: z.ZodType }
const DEFINED = new WeakMap<FormAction, Listed>()

/** What is known of an action: whom it lets in and what it takes. Null for a function that was not made by `defineAction`. */
export function actionListed(action: FormAction): Listed | null {
  return DEFINED.get(action) ?? null
}

/**
 * Makes a server action of one command. Whatever comes is answered: whom it does not let in, what is no form, what the schema
 * refuses and what the command refuses are values; only what nobody foresaw is logged, once, and apologised for. A form posted
 * before scripts had come (two arguments: the answer before, and the form) is led on by the server itself.
 */
export function defineAction<Who, Input, Value, Reason extends string>(
  definition: ActionDefinition<Who, Input, Value, Reason>,
): FormAction<Value> {
  const action: FormAction<Value> = async (...given) => {
    const sent = given.at(-1)
    const answer = await run(definition, sent)
    if (given.length < 2) return answer
    if (answer.ok && answer.next !== undefined) redirect(answer.next)
    return answer.ok ? answer : { ...answer, typed: typedAgain(sent) }
  }
  DEFINED.set(action, definition)
  return action
}

async function run<Who, Input, Value, Reason extends string>(
  definition: ActionDefinition<Who, Input, Value, Reason>,
  sent: unknown,
): Promise<Answer<Value>> {
  try {
    const admitted = await definition.admit()
    if (!admitted.ok) return admitted
    if (!isSent(sent)) return OUT_OF_DATE
    const parsed = definition.schema.safeParse((definition.read ?? fieldsOf)(sent))
    if (!parsed.success) return invalid(problemsByField(parsed.error))
    const input = parsed.data
    const stopped = definition.check?.(admitted.who, input, sent)
    if (stopped) return stopped
    const result = await definition.command(admitted.who, input)
    if (!result.ok) return result
    for (const path of definition.shows ?? []) revalidatePath(path, 'layout')
    return { ...result, ...wordsOf('said', definition.said), ...wordsOf('next', definition.next) }

    function wordsOf(name: 'said' | 'next', words: Words<Value, Input> | undefined) {
      if (words === undefined || !result.ok) return {}
      const said = typeof words === 'string' ? words : words(result.value, input)
      return said === undefined ? {} : { [name]: said }
    }
  } catch (error) {
    unstable_rethrow(error) // what leads to another page is no fault
    return apologise(error)
  }
}

const OUT_OF_DATE = invalid({}, 'This form is out of date. Reload the page: what you typed is kept.')

function isSent(sent: unknown): sent is Sent {
  if (sent instanceof FormData) return true
  return typeof sent === 'object' && sent !== null && !Array.isArray(sent)
}

/** The text fields of what was sent; files and Next's own fields are left out. */
export function fieldsOf(sent: Sent): Record<string, unknown> {
  if (!(sent instanceof FormData)) return { ...sent }
  const fields: Record<string, unknown> = {}
  for (const [name, value] of sent) if (typeof value === 'string' && !name.startsWith('$')) fields[name] = value
  return fields
}

/** What may be shown again after a post without scripts: everything but passwords and codes. */
function typedAgain(sent: unknown): Record<string, string> {
  if (!(sent instanceof FormData)) return {}
  const shown = ([name, value]: [string, unknown]) => typeof value === 'string' && !/password|code|token/i.test(name)
  return Object.fromEntries(Object.entries(fieldsOf(sent)).filter(shown)) as Record<string, string> // `shown` leaves text only
}

async function apologise(error: unknown): Promise<Answer<never>> {
  const requestId = await headers().then(
    (sent) => sent.get('x-request-id') ?? crypto.randomUUID(),
    () => crypto.randomUUID(),
  )
  log.error({ err: error, requestId, kind: 'action' }, 'a request failed')
  const words = `Something went wrong on our side. Press again: nothing is saved twice. If it stays so, tell us this number: ${requestId}`
  return { ok: false, reason: 'fault', words }
}
