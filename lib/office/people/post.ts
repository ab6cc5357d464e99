import 'server-only'
import { z } from 'zod'
import type { Actor } from '../actor'
import { OTHER_BUSINESS, type Result } from '../result'
import { type FormState, textFields, typedAgain } from './schema'

type Outcome<T> = { state: FormState; value: T | null }

/**
 * The middle of every action behind a posted form: parse what came, refuse a form made for another business, run one
 * command, and turn its answer into what the form shows. What was typed comes back with every refusal.
 */
export async function post<Input extends { businessId: string }, T, Reason extends string>(
  actor: Actor,
  data: FormData,
  schema: z.ZodType<Input>,
  run: (input: Input) => Promise<Result<T, Reason>>,
): Promise<Outcome<T>> {
  const fields = textFields(data)
  const typed = typedAgain(fields)
  const parsed = schema.safeParse(fields)
  if (!parsed.success)
    return { state: { typed, fields: z.flattenError(parsed.error).fieldErrors as FormState['fields'] }, value: null }
  if (parsed.data.businessId !== actor.businessId)
    return { state: { typed, fields: {}, problem: OTHER_BUSINESS.words }, value: null }
  const result = await run(parsed.data)
  if (result.ok) return { state: { typed, fields: {} }, value: result.value }
  const problem = result.words ?? 'This could not be saved.'
  if ('fields' in result) return { state: { typed, fields: result.fields, problem: result.words }, value: null }
  return { state: { typed, fields: {}, problem }, value: null }
}
