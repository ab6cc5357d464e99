import 'server-only'
import type { z } from 'zod'
import type { Actor } from '../actor'
import { type FieldProblems, invalid, type Result } from '../result'

/** Reads what a form sent and runs one command with it; problems come back under the dotted path of their field. */
export async function runAction<Input, Value, Reason extends string>(
  actor: Actor,
  schema: z.ZodType<Input>,
  sent: unknown,
  command: (actor: Actor, input: Input) => Promise<Result<Value, Reason>>,
): Promise<Result<Value, Reason>> {
  const parsed = schema.safeParse(sent)
  if (parsed.success) return command(actor, parsed.data)
  const fields: FieldProblems = {}
  for (const { path, message } of parsed.error.issues) {
    const name = path.join('.')
    fields[name] = [...(fields[name] ?? []), message]
  }
  return invalid(fields)
}
