import 'server-only'
import type { Prisma, PrismaClient } from '@/generated/prisma/client'
import { bulkPool } from './bulk-pool'
import { database, identityDatabase } from './client'
import { wantedSignal } from './still-wanted'
import { isOutOfTime, TookTooLong } from './took-too-long'

/** A transaction in which the database knows who asks; without it every table looks empty. */
export type Transaction = Prisma.TransactionClient

/** Who asks, as the row policies see it. A client scope sees one client's rows, an office scope one business's. */
export type Scope =
  | { role: 'office'; businessId: string; personId: string }
  | { role: 'client'; businessId: string; personId: string; clientId: string }

export type TransactionLimits = { timeoutMs?: number; waitMs?: number }

const DEFAULT_TIMEOUT_MS = 20_000
/** No single statement may run longer than this, else Postgres ends it: a moment before the transaction itself is given up. */
const STATEMENT_SHARE = 0.75
const DEFAULT_WAIT_MS = 10_000

/**
 * Runs `work` in one transaction with the role and settings of `scope`; both end with the transaction, so this works
 * behind a transaction pooler. Errors: whatever `work` throws, after a rollback; TookTooLong.
 */
export function inScope<T>(
  scope: Scope,
  work: (tx: Transaction) => Promise<T>,
  limits: TransactionLimits = {},
): Promise<T> {
  return transaction(
    database(),
    async (tx) => {
      const timeoutMs = (limits.timeoutMs ?? DEFAULT_TIMEOUT_MS) * STATEMENT_SHARE
      const { text, values } = scopeStatement(scope, timeoutMs)
      const [running] = await tx.$queryRawUnsafe<Running[]>(text, ...values)
      return endedWhenUnwanted(running, () => work(tx))
    },
    limits,
  )
}

/**
 * Runs `work` as the identity role, over its own connections: logins, sessions, links, memberships. It knows no business.
 * What needs a business and its logins in one transaction is a function of the schema `identity` (see `identity-calls.ts`).
 */
export function asIdentity<T>(work: (tx: Transaction) => Promise<T>, limits: TransactionLimits = {}): Promise<T> {
  return transaction(
    identityDatabase(),
    async (tx) => {
      await tx.$queryRaw`SELECT set_config('role', 'tankround_identity', true)`
      return work(tx)
    },
    limits,
  )
}

/** Where a transaction runs, and since when: enough to end it and no other. */
type Running = { pid: number; since: string }

/** Asks Postgres to end the running statement as soon as nobody waits for it any more. Errors: the signal's reason, those of `work`. */
async function endedWhenUnwanted<T>(running: Running | undefined, work: () => Promise<T>): Promise<T> {
  const signal = wantedSignal()
  if (!signal || !running) return work()
  signal.throwIfAborted()
  const end = () => {
    bulkPool()
      .query('SELECT pg_cancel_backend(pid) FROM pg_stat_activity WHERE pid = $1 AND xact_start = $2::timestamptz', [
        running.pid,
        running.since,
      ])
      .catch(() => undefined) // it ends by itself then, only later
  }
  signal.addEventListener('abort', end, { once: true })
  try {
    return await work()
  } finally {
    signal.removeEventListener('abort', end)
  }
}

/**
 * The statement that sets role and settings until the end of the running transaction, whoever sends it. `timeoutMs`: the longest that a
 * statement may run; 0: as long as it takes.
 */
export function scopeStatement(scope: Scope, timeoutMs = 0): { text: string; values: string[] } {
  const clientId = scope.role === 'client' ? scope.clientId : ''
  return {
    text: `SELECT set_config('role', $1, true), set_config('app.business_id', $2, true),
      set_config('app.user_id', $3, true), set_config('app.client_id', $4, true), set_config('statement_timeout', $5, true),
      pg_backend_pid() AS pid, transaction_timestamp()::text AS since`,
    values: [`tankround_${scope.role}`, scope.businessId, scope.personId, clientId, String(Math.round(timeoutMs))],
  }
}

async function transaction<T>(
  client: PrismaClient,
  work: (tx: Transaction) => Promise<T>,
  limits: TransactionLimits,
): Promise<T> {
  try {
    return await client.$transaction(work, {
      timeout: limits.timeoutMs ?? DEFAULT_TIMEOUT_MS,
      maxWait: limits.waitMs ?? DEFAULT_WAIT_MS,
    })
  } catch (error) {
    throw isOutOfTime(error) ? new TookTooLong(error) : error
  }
}
