import { z } from 'zod'
import type { FieldProblems } from '../result'

/** What people type to come in. Pure: forms and server share it. */
export const email = z.string().trim().toLowerCase().pipe(z.email('Write an e-mail address, like anna@example.org.'))
export const newPassword = z
  .string()
  .min(10, 'Take at least 10 characters; a few words in a row are easy to remember.')
  .max(200, 'Take at most 200 characters.')

export const signInSchema = z.object({
  email: z.string().trim().min(1, 'Write your e-mail address.'),
  password: z.string().min(1, 'Write your password.').max(1000),
})

export const firstRunSchema = z.object({
  businessName: z.string().trim().min(1, 'What is your business called?').max(120),
  name: z.string().trim().min(1, 'What is your name?').max(120),
  email,
  password: newPassword,
  timeZone: z.string().trim().max(64),
  currency: z.string().trim().max(3),
})

/**
 * What a plain form (useActionState) hands back: what was typed, without passwords, and what was wrong with it.
 * Such a form works before scripts have come.
 */
export type FormState = { typed: Record<string, string>; fields: FieldProblems; problem?: string; notice?: string }

export const EMPTY_FORM: FormState = { typed: {}, fields: {} }

/** The text fields of a posted form; files and Next's own fields are left out. */
export function textFields(data: FormData): Record<string, string> {
  const fields: Record<string, string> = {}
  for (const [name, value] of data) if (typeof value === 'string' && !name.startsWith('$')) fields[name] = value
  return fields
}

/** What may be shown again: everything but passwords. */
export function typedAgain(fields: Record<string, string>): Record<string, string> {
  return Object.fromEntries(Object.entries(fields).filter(([name]) => !/password/i.test(name)))
}
