import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { database } from './client'

/** A transaction in which the database knows who asks; without it every table looks empty. */
export type Transaction = Prisma.TransactionClient

/** Who asks, as the row policies see it. A client scope sees one client's rows, an office scope one business's. */
export type Scope =
  | { role: 'office'; businessId: string; personId: string }
  | { role: 'client'; businessId: string; personId: string; clientId: string }

export type TransactionLimits = { timeoutMs?: number; waitMs?: number }

const DEFAULT_TIMEOUT_MS = 20_000
const DEFAULT_WAIT_MS = 10_000

/**
 * Runs `work` in one transaction with the role and settings of `scope`; both end with the transaction, so this works
 * behind a transaction pooler. Errors: whatever `work` throws, after a rollback.
 */
export function inScope<T>(
  scope: Scope,
  work: (tx: Transaction) => Promise<T>,
  limits: TransactionLimits = {},
): Promise<T> {
  return transaction(async (tx) => {
    await takeScope(tx, scope)
    return work(tx)
  }, limits)
}

/** Runs `work` as the identity role: logins, links, memberships. It knows no business. */
export function asIdentity<T>(work: (tx: Transaction) => Promise<T>, limits: TransactionLimits = {}): Promise<T> {
  return transaction(async (tx) => {
    await tx.$queryRaw`SELECT set_config('role', 'tankround_identity', true)`
    return work(tx)
  }, limits)
}

/**
 * Sets role and settings of a running transaction: for the few acts that touch both a business and its logins
 * (an invitation), which call it again to go back.
 */
export async function takeScope(tx: Transaction, scope: Scope): Promise<void> {
  const { text, values } = scopeStatement(scope)
  await tx.$queryRawUnsafe(text, ...values)
}

/** The statement that sets role and settings until the end of the running transaction, whoever sends it. */
export function scopeStatement(scope: Scope): { text: string; values: string[] } {
  const clientId = scope.role === 'client' ? scope.clientId : ''
  return {
    text: `SELECT set_config('role', $1, true), set_config('app.business_id', $2, true),
      set_config('app.user_id', $3, true), set_config('app.client_id', $4, true)`,
    values: [`tankround_${scope.role}`, scope.businessId, scope.personId, clientId],
  }
}

/** Switches a running transaction to the identity role; `takeScope` switches back. */
export async function takeIdentity(tx: Transaction): Promise<void> {
  await tx.$queryRaw`SELECT set_config('role', 'tankround_identity', true)`
}

/** Lets this transaction see rows of withdrawn imports: only for taking a batch back. */
export async function seeWithdrawn(tx: Transaction): Promise<void> {
  await tx.$queryRaw`SELECT set_config('app.see_withdrawn', 'on', true)`
}

function transaction<T>(work: (tx: Transaction) => Promise<T>, limits: TransactionLimits): Promise<T> {
  return database().$transaction(work, {
    timeout: limits.timeoutMs ?? DEFAULT_TIMEOUT_MS,
    maxWait: limits.waitMs ?? DEFAULT_WAIT_MS,
  })
}
