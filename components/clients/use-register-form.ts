'use client'

import { zodResolver } from '@hookform/resolvers/zod'
import { useRouter } from 'next/navigation'
import {
  type DefaultValues,
  type FieldErrors,
  type FieldValues,
  get,
  type Path,
  type UseFormRegisterReturn,
  useForm,
} from 'react-hook-form'
import type { z } from 'zod'
import { newId } from '@/lib/new-id'
import type { Result } from '@/lib/office/result'

/** A server action of the register: takes what was typed, answers with what was made or why not. */
export type Save<Value> = (input: unknown) => Promise<Result<Value, string>>

/** What a field component needs of one field. */
export type FieldTies = UseFormRegisterReturn & { id: string; error: string | undefined }
/** Gives the ties of any of these fields; parts of a form ask for no more names than they have. */
export type FieldOf<Name extends string> = (name: Name) => FieldTies

type Command = { commandId: string; businessId: string }
type Options<Values, Value> = {
  schema: z.ZodType<Values, Values>
  businessId: string
  /** What stands in the form at first. */
  fields: DefaultValues<Omit<Values, keyof Command>>
  save: Save<Value>
  /** Where to go once it is saved. */
  next: (value: Value) => string
}

/**
 * One form of the register: the schema is the server's, the command's id is fresh only after success (a resend is
 * harmless), and whatever is refused, everything typed stays.
 */
export function useRegisterForm<Values extends FieldValues & Command, Value>(options: Options<Values, Value>) {
  const { schema, businessId, fields, save, next } = options
  const router = useRouter()
  const form = useForm<Values>({
    resolver: zodResolver(schema),
    // The two fields of the command complete the rest to all of Values.
    defaultValues: { ...fields, businessId, commandId: newId() } as DefaultValues<Values>,
  })
  const submit = form.handleSubmit(async (values) => {
    const result = await save(values).catch(() => null)
    if (result === null)
      return form.setError('root', { message: 'It could not be sent. Everything typed is still here; try again.' })
    if (result.ok) {
      form.resetField('commandId' as Path<Values>, { defaultValue: newId() as never }) // commandId is one of Values
      return router.push(next(result.value))
    }
    if (!('fields' in result)) return form.setError('root', { message: result.words ?? 'This was refused.' })
    for (const [name, messages] of Object.entries(result.fields))
      form.setError(name as Path<Values>, { message: messages?.[0] ?? '' }) // the server names the fields of the same schema
  })
  /** What a field component needs: `{...field('name')}`; the id is the name, so that the summary can point to it. */
  const field = (name: Path<Values>): FieldTies => ({
    ...form.register(name),
    id: name,
    error: messageAt(form.formState.errors, name),
  })
  return { form, submit, field, isSubmitting: form.formState.isSubmitting, problems: problemsOf(form.formState.errors) }
}

function messageAt(errors: FieldErrors, name: string): string | undefined {
  const error: unknown = get(errors, name)
  return isMessage(error) ? error.message : undefined
}

function isMessage(value: unknown): value is { message: string } {
  return typeof value === 'object' && value !== null && 'message' in value && typeof value.message === 'string'
}

/** All messages with the field each belongs to, in the order of the form. */
function problemsOf(errors: object, path = ''): { fieldId?: string; message: string }[] {
  return Object.entries(errors).flatMap(([key, value]) => {
    if (key === 'ref' || typeof value !== 'object' || value === null) return []
    if (isMessage(value)) {
      if (key === 'root') return [{ message: value.message }]
      return [{ fieldId: `${path}${key}`, message: value.message }]
    }
    return problemsOf(value, `${path}${key}.`)
  })
}
