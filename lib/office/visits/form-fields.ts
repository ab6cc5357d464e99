/** The fields of a posted form, as text. Pure. */
import type { z } from 'zod'

/** The fields of a form by name; one name may stand several times. */
export type FormFields = { one: (name: string) => string; all: (name: string) => string[]; names: readonly string[] }

/** The fields of a posted form; files are left out. */
export function formFields(data: FormData): FormFields {
  const text = (value: FormDataEntryValue | null) => (typeof value === 'string' ? value : '')
  return {
    one: (name) => text(data.get(name)).trim(),
    all: (name) => data.getAll(name).flatMap((value) => (typeof value === 'string' ? value : [])),
    names: [...new Set(data.keys())],
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
