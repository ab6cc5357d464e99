import * as z from 'zod'
import { countryField } from '../frame/country'
import { clockField, isRecord, text, textAsTyped } from '../frame/fields'
import { ROLES, type Role } from '../frame/role-actions'
import { envelope } from '../frame/schema'

/** What people type to come in and about the people of a business. Pure: forms and server share it. */
export const email = text(200).toLowerCase().pipe(z.email('Write an e-mail address, like anna@example.org.').max(200))
export const newPassword = textAsTyped(200).min(
  10,
  'Take at least 10 characters; a few words in a row are easy to remember.',
)
const name = text(120).min(1, 'Write a name.')
const ticked = z.preprocess((value) => value === true || value === 'on', z.boolean())

export const signInSchema = z.object({
  email: text(254, 'Write your e-mail address.').min(1, 'Write your e-mail address.'),
  password: textAsTyped(1000).min(1, 'Write your password.'),
  /** Where to go on to; comes from the address and is not believed. */
  back: textAsTyped(2000).default(''),
})

export const firstRunSchema = z.object({
  /** Asked for where others can reach the page. */
  code: text(100).default(''),
  businessName: text(120).min(1, 'Write what your business is called.'),
  name,
  email,
  password: newPassword,
  country: countryField,
  timeZone: text(80).refine(isTimeZone, 'Choose a time zone from the list.'),
  currency: text(3, 'Write three letters, like GBP or EUR.')
    .toUpperCase()
    .regex(/^[A-Z]{3}$/, 'Write three letters, like GBP or EUR.'),
})

export const newPasswordSchema = z.object({ password: newPassword })

export const changePasswordSchema = z.object({
  oldPassword: textAsTyped(1000).min(1, 'Write your present password.'),
  newPassword,
})

/** Joining with a login that exists asks for its password, whatever its length; a new login for a new one. */
export const joinSchema = z.object({ password: textAsTyped(200).min(1, 'Write your password.') })

/** The same, said by somebody who holds a one-time link. */
export const byLink = <Shape extends z.ZodRawShape>(schema: z.ZodObject<Shape>) =>
  schema.extend({ token: textAsTyped(200).min(1) })

const personFields = {
  name,
  email: z.union([z.literal(''), email]),
  phone: text(60),
  note: text(2000),
  isTechnician: ticked,
  dayStart: clockField,
  dayEnd: clockField,
}
const dayInOrder = (day: { dayStart: string; dayEnd: string }) => day.dayStart < day.dayEnd
const DAY_WORDS = { path: ['dayEnd'], message: 'The working day must end after it begins.' }

export const addPersonSchema = envelope.extend(personFields).refine(dayInOrder, DAY_WORDS)
export const editPersonSchema = envelope.extend({ personId: z.uuid(), ...personFields }).refine(dayInOrder, DAY_WORDS)
export const personSchema = envelope.extend({ personId: z.uuid() })
export const membershipSchema = envelope.extend({ membershipId: z.uuid() })

/** The roles out of a form's boxes; people of a client have that one role and name the client. */
function toAccess(sent: unknown, context: z.RefinementCtx): unknown {
  if (!isRecord(sent) || 'roles' in sent) return sent
  const wrong = (path: string, message: string) => context.addIssue({ code: 'custom', path: [path], message })
  const { side, clientId, owner, technician, accountant, ...rest } = sent
  if (side === 'client') {
    if (!clientId) wrong('clientId', 'Choose the client they belong to.')
    return { ...rest, roles: ['client'], clientId: clientId || null }
  }
  if (side !== 'office') wrong('side', 'Choose whether they work here or belong to a client.')
  const boxes = { owner, technician, accountant }
  const roles = ROLES.filter((role) => role !== 'client' && boxes[role] === 'on')
  if (roles.length === 0) wrong('owner', 'Choose at least one role.')
  return { ...rest, roles, clientId: null }
}

const access = { roles: z.array(z.enum(ROLES)).min(1).max(ROLES.length), clientId: z.uuid().nullable() }
const oneSide = ({ roles, clientId }: { roles: Role[]; clientId: string | null }) =>
  roles.includes('client') ? roles.length === 1 && clientId !== null : clientId === null
const ONE_SIDE = { path: ['clientId'], message: 'Choose whether they work here or belong to a client.' }

export const inviteSchema = z.preprocess(
  toAccess,
  envelope.extend({ personId: z.uuid(), email, ...access }).refine(oneSide, ONE_SIDE),
)
export const changeRolesSchema = z.preprocess(
  toAccess,
  envelope.extend({ membershipId: z.uuid(), ...access }).refine(oneSide, ONE_SIDE),
)

/** Whether this is an IANA time zone that this machine knows. */
export function isTimeZone(value: string): boolean {
  try {
    new Intl.DateTimeFormat('en', { timeZone: value })
    return /^[A-Za-z]/.test(value)
  } catch {
    return false
  }
}
