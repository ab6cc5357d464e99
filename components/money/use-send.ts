'use client'

import { useRouter } from 'next/navigation'
import { type FieldErrors, type FieldValues, get, type Path, type UseFormReturn } from 'react-hook-form'
import type { Result } from '@/lib/office/result'

/** A server action of the books: takes what was typed, answers with what was made or why not. */
export type Act<Value = unknown> = (input: unknown) => Promise<Result<Value, string>>

type Options<Value> = {
  act: Act<Value>
  /** After it is written; without it the page reads itself anew. */
  after?: (value: Value) => void
  /** A refusal to be asked about rather than said; true when it was. */
  ask?: (reason: string, words: string) => boolean
}

/**
 * Sends what was typed to one command. Whatever is refused is said beside its field or above the form, and everything
 * typed stays; the same command may then be sent again.
 */
export function useSend<Input extends FieldValues, Output, Value>(
  form: UseFormReturn<Input, unknown, Output>,
  { act, after, ask }: Options<Value>,
) {
  const router = useRouter()
  const say = (message: string) => form.setError('root', { message })
  const submit = form.handleSubmit(async (values) => {
    const result = await act(values).catch(() => null)
    if (result === null) return say('It could not be sent. Everything typed is still here; try again.')
    if (result.ok) {
      if (after) return after(result.value)
      return router.refresh()
    }
    if ('fields' in result) {
      for (const [name, messages] of Object.entries(result.fields))
        form.setError(name as Path<Input>, { message: messages?.[0] ?? '' }) // the server names the fields of the same schema
      return
    }
    const words = result.words ?? 'This was refused.'
    if (!ask?.(result.reason, words)) say(words)
  })
  const { errors, isSubmitting } = form.formState
  /** What a field component needs; the id is made of form and name, so that the summary can point to it. */
  const field = (name: Path<Input>, formId: string) => ({
    ...form.register(name),
    id: `${formId}-${name}`,
    error: messageAt(errors, name),
  })
  return { submit, field, isSubmitting, problems: (formId: string) => problemsOf(errors, formId) }
}

function messageAt(errors: FieldErrors, name: string): string | undefined {
  const error: unknown = get(errors, name)
  if (isMessage(error)) return error.message
  // A list's own message stands at its root.
  const root: unknown = get(errors, `${name}.root`)
  return isMessage(root) ? root.message : undefined
}

function isMessage(value: unknown): value is { message: string } {
  return typeof value === 'object' && value !== null && 'message' in value && typeof value.message === 'string'
}

/** All messages with the field each belongs to, in the order of the form. */
function problemsOf(errors: object, formId: string, path = ''): { fieldId?: string; message: string }[] {
  return Object.entries(errors).flatMap(([key, value]) => {
    if (key === 'ref' || typeof value !== 'object' || value === null) return []
    if (!isMessage(value)) return problemsOf(value, formId, `${path}${key}.`)
    return key === 'root'
      ? [{ message: value.message }]
      : [{ fieldId: `${formId}-${path}${key}`, message: value.message }]
  })
}
