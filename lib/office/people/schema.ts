import { z } from 'zod'
import type { FieldProblems } from '../result'
import { ROLES, type Role } from './role-actions'

/** What people type to come in and about the people of a business. Pure: forms and server share it. */
export const email = z.string().trim().toLowerCase().pipe(z.email('Write an e-mail address, like anna@example.org.'))
export const newPassword = z
  .string()
  .min(10, 'Take at least 10 characters; a few words in a row are easy to remember.')
  .max(200, 'Take at most 200 characters.')
const name = z.string().trim().min(1, 'Write a name.').max(120, 'Take at most 120 characters.')
const ticked = z
  .string()
  .optional()
  .transform((value) => value === 'on')
const timeOfDay = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'Write a time, like 08:00.')

/** What every write carries: the id it is known by, and the business the page was made for. */
export const envelope = z.object({ commandId: z.uuid(), businessId: z.uuid() })

export const signInSchema = z.object({
  email: z.string().trim().min(1, 'Write your e-mail address.'),
  password: z.string().min(1, 'Write your password.').max(1000),
})

export const firstRunSchema = z.object({
  businessName: z.string().trim().min(1, 'What is your business called?').max(120),
  name,
  email,
  password: newPassword,
  timeZone: z.string().refine(isTimeZone, 'Choose a time zone from the list.'),
  currency: z
    .string()
    .trim()
    .toUpperCase()
    .regex(/^[A-Z]{3}$/, 'Write three letters, like GBP or EUR.'),
})

export const newPasswordSchema = z.object({ password: newPassword })

export const changePasswordSchema = z.object({
  oldPassword: z.string().min(1, 'Write your present password.').max(1000),
  newPassword,
})

/** Joining with a login that exists asks for its password, whatever its length; a new login for a new one. */
export const joinSchema = z.object({ password: z.string().min(1, 'Write your password.').max(200) })

const personFields = {
  name,
  email: z.union([z.literal(''), email]),
  phone: z.string().trim().max(60),
  note: z.string().trim().max(2000),
  isTechnician: ticked,
  dayStart: timeOfDay,
  dayEnd: timeOfDay,
}
const dayInOrder = (day: { dayStart: string; dayEnd: string }) => day.dayStart < day.dayEnd
const DAY_WORDS = { path: ['dayEnd'], message: 'The working day must end after it begins.' }

export const addPersonSchema = envelope.extend(personFields).refine(dayInOrder, DAY_WORDS)
export const editPersonSchema = envelope.extend({ personId: z.uuid(), ...personFields }).refine(dayInOrder, DAY_WORDS)
export const personSchema = envelope.extend({ personId: z.uuid() })
export const membershipSchema = envelope.extend({ membershipId: z.uuid() })

const access = {
  side: z.enum(['office', 'client'], 'Choose whether they work here or belong to a client.'),
  owner: ticked,
  technician: ticked,
  accountant: ticked,
  clientId: z.union([z.literal(''), z.uuid()]).optional(),
}

/** The set of roles out of the form's boxes; people of a client have that one role and name the client. */
function toAccess(
  {
    side,
    clientId,
    ...boxes
  }: {
    side: 'office' | 'client'
    owner: boolean
    technician: boolean
    accountant: boolean
    clientId?: string | undefined
  },
  context: z.RefinementCtx,
): { roles: Role[]; clientId: string | null } {
  if (side === 'client') {
    if (!clientId)
      context.addIssue({ code: 'custom', path: ['clientId'], message: 'Choose the client they belong to.' })
    return { roles: ['client'], clientId: clientId || null }
  }
  const roles = ROLES.filter((role) => role !== 'client' && boxes[role])
  if (roles.length === 0) context.addIssue({ code: 'custom', path: ['owner'], message: 'Choose at least one role.' })
  return { roles, clientId: null }
}

export const inviteSchema = envelope
  .extend({ personId: z.uuid(), email, ...access })
  .transform((input, context) => ({ ...input, ...toAccess(input, context) }))
export const changeRolesSchema = envelope
  .extend({ membershipId: z.uuid(), ...access })
  .transform((input, context) => ({ ...input, ...toAccess(input, context) }))

/** Whether this is an IANA time zone that this machine knows. */
export function isTimeZone(value: string): boolean {
  try {
    new Intl.DateTimeFormat('en', { timeZone: value })
    return /^[A-Za-z]/.test(value)
  } catch {
    return false
  }
}

/**
 * What a plain form (useActionState) hands back: what was typed, without passwords, and what was wrong with it.
 * Such a form works before scripts have come.
 */
export type FormState = {
  typed: Record<string, string>
  fields: FieldProblems
  problem?: string
  notice?: string
  /** A link that is shown this once. */
  link?: string
}

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
