import 'server-only'
import { RateLimiterPostgres, RateLimiterRes } from 'rate-limiter-flexible'
import { asIdentity } from '@/lib/platform/db/scope'

/** How many wrong tries are allowed in which time. Common practice, no source. */
const FIFTEEN_MINUTES_S = 15 * 60
const TRIES_PER_EMAIL_AND_ADDRESS = 5
const TRIES_PER_ADDRESS = 30

/** Speaks to the counters' table as the identity role, one transaction per question. */
const store = {
  query({ text, values = [] }: { text: string; values?: unknown[] }) {
    return asIdentity(async (tx) => {
      const found = await tx.$queryRawUnsafe<{ points: number; expire: bigint | null }[]>(text, ...values)
      const rows = found.map((row) => ({ ...row, expire: row.expire === null ? null : Number(row.expire) }))
      return { rows, rowCount: rows.length }
    })
  },
}

type Limits = { pair: RateLimiterPostgres; address: RateLimiterPostgres }
let limits: Limits | undefined

function limiters(): Limits {
  const limiter = (keyPrefix: string, points: number) =>
    new RateLimiterPostgres({
      storeClient: store,
      storeType: 'client',
      schemaName: 'identity',
      tableName: 'rate_limit',
      tableCreated: true,
      keyPrefix,
      points,
      duration: FIFTEEN_MINUTES_S,
    })
  limits ??= {
    pair: limiter('sign-in-pair', TRIES_PER_EMAIL_AND_ADDRESS),
    address: limiter('sign-in-address', TRIES_PER_ADDRESS),
  }
  return limits
}

/** Says how long to wait; the message is shown to the person as it is. */
export class TooManyTries extends Error {
  override name = 'TooManyTries'
  constructor(readonly waitMs: number) {
    const minutes = Math.max(1, Math.ceil(waitMs / 60_000))
    super(`Too many tries. Wait ${minutes === 1 ? 'one minute' : `${minutes} minutes`}, then try again.`)
  }
}

/**
 * Counts one try before the password is looked at, so that tries at the same moment cannot slip past the limit. Never by
 * e-mail alone: then anybody could lock out a person whose address they know.
 * Errors: TooManyTries.
 */
export async function countTry(email: string, address: string): Promise<void> {
  const { pair, address: perAddress } = limiters()
  try {
    await perAddress.consume(address)
    await pair.consume(`${address} ${email}`)
  } catch (reason) {
    if (reason instanceof RateLimiterRes) throw new TooManyTries(reason.msBeforeNext)
    throw reason
  }
}

/** The password was right: the tries of this person from this address no longer count. */
export async function forgetTries(email: string, address: string): Promise<void> {
  const { pair, address: perAddress } = limiters()
  await pair.delete(`${address} ${email}`)
  await perAddress.reward(address, 1)
}
