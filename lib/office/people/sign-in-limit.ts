import 'server-only'
import { RateLimiterPostgres, RateLimiterRes } from 'rate-limiter-flexible'
import { keyedHash } from '@/lib/platform/auth/keyed-hash'
import { asIdentity } from '@/lib/platform/db/scope'
import { networkOf } from '@/lib/platform/web/address'
import { sayEvent } from './entry-events'

/** How many wrong tries are allowed in which time. Common practice, no source. */
const FIFTEEN_MINUTES_S = 15 * 60
const TRIES_PER_EMAIL_AND_ADDRESS = 5
const TRIES_PER_ADDRESS = 30

/**
 * Tries for one e-mail address from anywhere: after the fifth wrong one each next waits twice as long, from a second to
 * five minutes, until a day has passed without one. A delay that doubles slows a guesser down to some 300 tries a day, and
 * no owner waits for long (OWASP Authentication Cheat Sheet, "Account Lockout"; from memory).
 */
const FREE_TRIES_PER_ACCOUNT = 5
const LONGEST_DELAY_S = 300
const FORGOTTEN_AFTER_S = 24 * 3600

/** From where a login came in within this time, strangers' tries do not slow it down. */
const KNOWN_FOR_MS = 90 * 24 * 3_600_000

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
    super(`Too many tries. Wait ${inWords(waitMs)}, then try again.`)
  }
}

function inWords(waitMs: number): string {
  const seconds = Math.max(1, Math.ceil(waitMs / 1000))
  if (seconds < 60) return seconds === 1 ? 'one second' : `${seconds} seconds`
  const minutes = Math.ceil(seconds / 60)
  return minutes === 1 ? 'one minute' : `${minutes} minutes`
}

/** One try: for which e-mail address (known here or not), and from which network address. */
export type Try = { email: string; address: string }

/**
 * Counts one try before the password is looked at, so that tries at the same moment cannot slip past the limits: by network
 * address, by both together, and by e-mail address alone. It answers alike whether such a login exists or not.
 * Errors: TooManyTries.
 */
export async function countTry({ email, address }: Try, now: Date): Promise<void> {
  const keys = keysOf({ email, address })
  try {
    // Whoever came in from there before is not kept out by others at the same address, or by tries from elsewhere.
    const known = await isKnownPlace({ email, address: keys.address }, now)
    if (!known) await limiters().address.consume(keys.address)
    await limiters().pair.consume(keys.pair)
    const waitMs = known ? 0 : await takeTurn(keys, now)
    if (waitMs > 0) throw new TooManyTries(waitMs)
  } catch (reason) {
    const refused = reason instanceof RateLimiterRes ? new TooManyTries(reason.msBeforeNext) : reason
    if (refused instanceof TooManyTries) sayEvent({ kind: 'sign-in-delayed', address, about: keys.account })
    throw refused
  }
}

/** The password was right: the tries of this person from this address no longer count. */
export async function forgetTries({ email, address }: Try, now: Date): Promise<void> {
  const keys = keysOf({ email, address })
  await limiters().pair.delete(keys.pair)
  if (!(await isKnownPlace({ email, address: keys.address }, now))) await limiters().address.reward(keys.address, 1)
  await asIdentity((tx) => tx.signInDelay.deleteMany({ where: { accountHash: keys.account } }))
}

/** Nobody's address is written down as it is. */
function keysOf({ email, address }: Try): { address: string; account: string; pair: string } {
  const network = keyedHash('address', networkOf(address))
  const account = keyedHash('account', email)
  return { address: network, account, pair: `${network} ${account}` }
}

/** Whether this login came in from this network lately. */
function isKnownPlace(key: { email: string; address: string }, now: Date): Promise<boolean> {
  return asIdentity(async (tx) => {
    const knownSince = new Date(now.getTime() - KNOWN_FOR_MS)
    const [known] = await tx.$queryRaw<{ found: boolean }[]>`
      SELECT EXISTS (SELECT 1 FROM identity.session s JOIN identity.login l ON l.id = s.login_id
        WHERE l.email = ${key.email} AND s.address_hash = ${key.address} AND s.made_at > ${knownSince}::timestamptz) AS found`
    return known?.found === true
  })
}

/** Takes the account's turn if it has come, else answers how long until then, in milliseconds. */
function takeTurn(key: { account: string }, now: Date): Promise<number> {
  return asIdentity(async (tx) => {
    // The row's lock decides between tries at the same moment; a try that comes too early changes nothing.
    const taken = await tx.$queryRaw<unknown[]>`
      INSERT INTO identity.sign_in_delay AS d (account_hash, failures, last_at, next_at)
        VALUES (${key.account}, 1, ${now}::timestamptz, ${now}::timestamptz)
      ON CONFLICT (account_hash) DO UPDATE SET last_at = excluded.last_at,
        failures = CASE WHEN d.last_at < excluded.last_at - make_interval(secs => ${FORGOTTEN_AFTER_S}::int) THEN 1 ELSE d.failures + 1 END,
        next_at = CASE WHEN d.last_at < excluded.last_at - make_interval(secs => ${FORGOTTEN_AFTER_S}::int)
            OR d.failures + 1 < ${FREE_TRIES_PER_ACCOUNT}::int THEN excluded.next_at
          ELSE excluded.next_at + make_interval(secs => least(${LONGEST_DELAY_S}::int,
            power(2, least(d.failures + 1 - ${FREE_TRIES_PER_ACCOUNT}::int, 30)))) END
        WHERE d.next_at <= excluded.next_at
      RETURNING 1 AS taken`
    if (taken.length > 0) return 0
    const row = await tx.signInDelay.findUnique({ where: { accountHash: key.account } })
    return row ? Math.max(1, row.nextAt.getTime() - now.getTime()) : 0
  })
}
