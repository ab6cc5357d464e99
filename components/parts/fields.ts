import type { FormState } from '@/lib/office/people/schema'

export type Hidden = Readonly<Record<string, string>>
export type Choice = { value: string; label: string }

/** What a field of a posted form needs: its id, what was typed before, else what is known, and what is wrong with it. */
export function fieldsOf<Values extends Record<string, string>>(
  { typed, fields }: FormState,
  id: (name: string) => string,
  known: Values,
) {
  return (name: keyof Values & string) => ({
    id: id(name),
    name,
    defaultValue: typed[name] ?? known[name],
    error: fields[name]?.[0],
  })
}
