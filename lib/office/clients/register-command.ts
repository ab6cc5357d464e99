import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Actor } from '../actor'
import { type AuditedContext, asJson, audited } from '../audited'
import { runCommand } from '../command'
import { mayDo } from '../people/role-actions'
import { OTHER_BUSINESS, type Result, refused } from '../result'

/** Why a change of the register is refused; the words say it in full. */
export type RegisterReason = 'not-found' | 'in-use' | 'already-so' | 'does-not-fit'

export type RegisterContext = AuditedContext

/**
 * Runs one change of the register: for the actor's own business, by somebody who may, once per command id.
 * What was typed goes into the command log; of people's names and addresses only that they were given.
 */
export async function changeRegister<
  Input extends { commandId: string; businessId: string } & Prisma.InputJsonObject,
  Value extends Prisma.InputJsonValue,
>(
  actor: Actor,
  kind: string,
  input: Input,
  apply: (context: RegisterContext) => Promise<Result<Value, RegisterReason>>,
): Promise<Result<Value, RegisterReason>> {
  if (input.businessId !== actor.businessId) return OTHER_BUSINESS
  if (!mayDo(actor.roles, 'register.change'))
    return { ok: false, reason: 'not-allowed', words: 'Only the owner changes the register.' }
  const payload = asJson(isAboutPeople(kind) ? withoutPeople(input) : input)
  return runCommand(actor, { id: input.commandId, kind, payload }, (context) =>
    apply(audited(context, actor, (entity, value) => (isAboutPeople(entity) ? withoutPeople(value) : value))),
  )
}

/** The same words for a row that is not there, is another business's or was taken back with its import. */
export function notThere(what: string) {
  return refused('not-found', `This ${what} is not in the register any more. Reload the page.`)
}

/** Names and addresses stay out of the logs, which nobody can change: forgetting a person must be one act. */
const PERSONAL: ReadonlySet<string> = new Set([
  'name',
  'email',
  'phone',
  'billingName',
  'billingAddress',
  'billingPostcode',
  'billingCity',
  'taxNumber',
  'address',
  'postcode',
  'city',
  'latitude',
  'longitude',
  'accessNote',
  'note',
])

function isAboutPeople(kindOrEntity: string): boolean {
  return /^(client|site)\b/.test(kindOrEntity)
}

function withoutPeople(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutPeople)
  if (typeof value !== 'object' || value === null || value instanceof Date) return value
  return Object.fromEntries(
    Object.entries(value).map(([key, held]) => [
      key,
      PERSONAL.has(key) ? (held === '' || held === null ? '' : 'given') : withoutPeople(held),
    ]),
  )
}
