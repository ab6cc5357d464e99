import 'server-only'
import type { z } from 'zod'
import { newId } from '@/lib/new-id'
import type { SessionClaims } from '@/lib/platform/auth/options'
import { hashPassword } from '@/lib/platform/auth/password'
import { asIdentity, type Transaction, takeIdentity, takeScope } from '@/lib/platform/db/scope'
import { done, type Result, refused } from '../result'
import type { firstRunSchema } from './schema'

/** Any fixed number: two first runs at once wait for each other on it. */
const FIRST_RUN_LOCK = 7_310_282

export type FirstRun = z.output<typeof firstRunSchema>

/** Whether nobody has begun here: only then is there a first-run page. */
export function noBusinessYet(): Promise<boolean> {
  return asIdentity(isEmpty)
}

/**
 * Makes the first business and its owner, exactly once even when two people try at the same moment; the second is
 * refused. There is no command to hang this on, for a command belongs to a business; its row is written at the end.
 */
export async function makeFirstBusiness(input: FirstRun): Promise<Result<SessionClaims, 'not-first'>> {
  const passwordHash = await hashPassword(input.password)
  return asIdentity(async (tx) => {
    await tx.$queryRaw`SELECT pg_advisory_xact_lock(${FIRST_RUN_LOCK}) IS NULL AS locked`
    if (!(await isEmpty(tx)))
      return refused('not-first', 'A business is already here. Sign in, or ask its owner to invite you.')
    const login = await tx.login.create({ data: { id: newId(), email: input.email, passwordHash } })
    const businessId = newId()
    const personId = newId()
    const membershipId = newId()
    await takeScope(tx, { role: 'office', businessId, personId })
    const { businessName, name, email, timeZone, currency } = input
    await tx.business.create({
      data: { id: businessId, name: businessName, legalName: businessName, email, timeZone, currency },
    })
    await tx.person.create({ data: { businessId, id: personId, name, isTechnician: true } })
    await tx.personPrivate.create({ data: { businessId, id: personId, personId, email } })
    await tx.membership.create({
      data: { businessId, id: membershipId, personId, loginId: login.id, roles: ['owner'] },
    })
    const now = new Date()
    await tx.command.create({
      data: {
        businessId,
        id: newId(),
        deviceId: 'desk',
        deviceSeq: 0,
        madeAt: now,
        kind: 'people.first-run',
        payload: {},
        status: 'applied',
        result: { membershipId },
        personId,
      },
    })
    await takeIdentity(tx)
    return done({ loginId: login.id, membershipId, businessId, sessionVersion: login.sessionVersion })
  })
}

async function isEmpty(tx: Transaction): Promise<boolean> {
  return (await tx.business.findFirst({ select: { id: true } })) === null
}
