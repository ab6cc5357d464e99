import 'server-only'
import { newId } from '@/lib/new-id'
import { keyedHash } from '@/lib/platform/auth/keyed-hash'
import type { Visitor } from '@/lib/platform/auth/visitor'
import { asIdentity, type Transaction } from '@/lib/platform/db/scope'
import { networkOf } from '@/lib/platform/web/address'
import type { Actor } from '../frame/actor'
import { HOLDING_MEMBERSHIP, MEMBER_COLUMNS, type MemberRow, memberAsActor, type Proven } from './actor-of'
import { keepEvent } from './entry-events'

/** A sign-in on one device. */
export type Session = Proven & { sessionId: string }

const DAY_MS = 24 * 3_600_000
/** How long a sign-in lasts at most, used or not, in seconds: thirty days. Common practice, no source. */
export const SESSION_LIFE_S = 30 * 24 * 60 * 60
/** A session that nobody used for this long has ended. Common practice, no source. */
const SESSION_IDLE_MS = 14 * DAY_MS
/** When a session was last seen is written down at most this often: reading a page should not write. */
const SEEN_AGAIN_MS = 5 * 60_000
/** Sessions that ended are kept this long, to know addresses from which a login came in before. */
const KEPT_AFTER_END_MS = 90 * DAY_MS

/**
 * Begins a session and answers its id, for the cookie; null where the login was switched off, or its password changed, since it
 * was proved. Clears away what has no more use: sessions long ended, delays long over.
 */
export function openSession(proven: Proven, visitor: Visitor, now: Date): Promise<string | null> {
  return asIdentity(async (tx) => {
    await tx.session.deleteMany({ where: { endsAt: { lt: new Date(now.getTime() - KEPT_AFTER_END_MS) } } })
    await tx.signInDelay.deleteMany({ where: { lastAt: { lt: new Date(now.getTime() - DAY_MS) } } })
    // Held until the session stands: who changes the password meanwhile waits, and then ends this session with the others.
    const [login] = await tx.$queryRaw<{ passwordHash: string | null }[]>`
      SELECT password_hash AS "passwordHash" FROM identity.login
      WHERE id = ${proven.loginId}::uuid AND disabled_at IS NULL FOR SHARE`
    if (!login || (proven.passwordHash ?? login.passwordHash) !== login.passwordHash) return null
    const id = newId()
    const endsAt = new Date(now.getTime() + SESSION_LIFE_S * 1000)
    const addressHash = keyedHash('address', networkOf(visitor.address))
    const { loginId, membershipId, businessId } = proven
    await tx.session.create({
      data: {
        id,
        loginId,
        membershipId,
        businessId,
        device: visitor.device,
        addressHash,
        madeAt: now,
        lastSeenAt: now,
        endsAt,
      },
    })
    const ids = { loginId, membershipId, businessId, sessionId: id }
    await keepEvent(tx, { kind: 'signed-in', ...ids, address: visitor.address })
    return id
  })
}

/**
 * The session of this id and the actor it stands for, or null when it no longer holds: ended, unused too long, past its
 * time, the login switched off, or the membership taken back. Read again at every request.
 */
export function readSession(sessionId: string, now: Date): Promise<{ actor: Actor; session: Session } | null> {
  return asIdentity(async (tx) => {
    const idleSince = new Date(now.getTime() - SESSION_IDLE_MS)
    const [row] = await tx.$queryRaw<(Proven & MemberRow & { lastSeenAt: Date })[]>`
      SELECT s.login_id::text AS "loginId", s.membership_id::text AS "membershipId", s.business_id::text AS "businessId",
        s.last_seen_at AS "lastSeenAt", ${MEMBER_COLUMNS}
      FROM ${HOLDING_MEMBERSHIP}
      JOIN identity.session s ON s.business_id = m.business_id AND s.membership_id = m.id AND s.login_id = m.login_id
      WHERE s.id = ${sessionId}::uuid AND s.ended_at IS NULL AND s.ends_at > ${now} AND s.last_seen_at > ${idleSince}`
    if (!row) return null
    const { loginId, membershipId, businessId } = row
    if (now.getTime() - row.lastSeenAt.getTime() > SEEN_AGAIN_MS)
      await tx.session.updateMany({ where: { id: sessionId, endedAt: null }, data: { lastSeenAt: now } })
    return { actor: memberAsActor(row, row), session: { sessionId, loginId, membershipId, businessId } }
  })
}

/** A session as its owner sees it on My account. */
export type SessionLine = { id: string; device: string; madeAt: string; lastSeenAt: string; isThis: boolean }

/** Where this login is signed in now, the one in use first. */
export function listSessions({ loginId, sessionId }: Session, now: Date): Promise<SessionLine[]> {
  return asIdentity(async (tx) => {
    const rows = await tx.session.findMany({
      where: { loginId, ...stillOpen(now) },
      select: { id: true, device: true, madeAt: true, lastSeenAt: true },
      orderBy: [{ lastSeenAt: 'desc' }, { id: 'desc' }],
    })
    const lines = rows.map(({ id, device, madeAt, lastSeenAt }) => {
      const [made, seen] = [madeAt.toISOString(), lastSeenAt.toISOString()]
      return { id, device, madeAt: made, lastSeenAt: seen, isThis: id === sessionId }
    })
    return [...lines.filter(({ isThis }) => isThis), ...lines.filter(({ isThis }) => !isThis)]
  })
}

/** Ends one session of this login, on whichever device; nothing where it is not theirs. Whether one ended. */
export function endSession(session: Session, id: string, now: Date): Promise<boolean> {
  return asIdentity(async (tx) => {
    const where = { id, loginId: session.loginId, endedAt: null }
    const { count } = await tx.session.updateMany({ where, data: { endedAt: now } })
    const kind = id === session.sessionId ? 'signed-out' : 'session-ended'
    if (count > 0) await keepEvent(tx, { ...session, kind, sessionId: id })
    return count > 0
  })
}

/** Ends every session of a login. The transaction must be the identity's. */
export async function endAllSessions(tx: Transaction, loginId: string, now: Date): Promise<void> {
  await tx.session.updateMany({ where: { loginId, endedAt: null }, data: { endedAt: now } })
  await keepEvent(tx, { kind: 'sessions-ended', loginId })
}

function stillOpen(now: Date) {
  return { endedAt: null, endsAt: { gt: now }, lastSeenAt: { gt: new Date(now.getTime() - SESSION_IDLE_MS) } }
}
