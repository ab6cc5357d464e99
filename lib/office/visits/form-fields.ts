/** The fields of a posted form, as text. Pure. */
import type { z } from 'zod'

/** The fields of a form by name; one name may stand several times. */
export type FormFields = { one: (name: string) => string; all: (name: string) => string[]; names: readonly string[] }

/** The fields of what was sent; files are left out, and so is what is no text. */
export function formFields(sent: FormData | Readonly<Record<string, unknown>>): FormFields {
  const values = (name: string): unknown[] =>
    sent instanceof FormData ? sent.getAll(name) : Object.hasOwn(sent, name) ? [sent[name]].flat() : []
  const all = (name: string) => values(name).flatMap((value) => (typeof value === 'string' ? value : []))
  return {
    one: (name) => (all(name)[0] ?? '').trim(),
    all,
    names: [...new Set(sent instanceof FormData ? sent.keys() : Object.keys(sent))],
  }
}

/** What is hidden in a form can be anything: null where it is not of the schema, and the command's own schema then says what is missing. */
export const parsedJson = <Schema extends z.ZodType>(text: string, schema: Schema): z.output<Schema> | null => {
  try {
    return schema.parse(JSON.parse(text))
  } catch {
    return null
  }
}
