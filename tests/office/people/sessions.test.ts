import { beforeAll, describe, expect, test } from 'vitest'
import type { Actor } from '@/lib/office/frame/actor'
import { revokeAccess } from '@/lib/office/people/access-commands'
import { changePassword, signOutEverywhere } from '@/lib/office/people/account'
import type { Proven } from '@/lib/office/people/actor-of'
import { archivePerson } from '@/lib/office/people/person-commands'
import { endSession, listSessions, openSession, readSession, type Session } from '@/lib/office/people/sessions'
import { lookUpLogin } from '@/lib/office/people/sign-in'
import { deviceInWords } from '@/lib/platform/auth/device-words'
import { sessionIdOf } from '@/lib/platform/auth/session-token'
import { asIdentity } from '@/lib/platform/db/scope'
import { testDatabase } from '../../setup/database'
import { addSignIn, envelope, makeBusiness, PASSWORD } from './make-business'

const NOW = new Date('2026-05-04T09:00:00Z')
const later = (days: number, minutes = 0) => new Date(NOW.getTime() + days * 86_400_000 + minutes * 60_000)
let owner: Actor
let last = 0

beforeAll(async () => {
  await testDatabase()
  owner = await makeBusiness('owner@sessions.example')
})

async function somebody(): Promise<{ actor: Actor; proven: Proven; email: string }> {
  const email = `person${++last}@sessions.example`
  const actor = await addSignIn({ businessId: owner.businessId, email, roles: ['technician'] })
  const proven = await lookUpLogin({ email, password: PASSWORD, address: `203.0.113.${last}` }, NOW)
  if (!proven) throw new Error(`${email} cannot sign in`)
  return { actor, proven, email }
}

async function open(proven: Proven, device = 'Firefox on Linux', now = NOW): Promise<Session> {
  const sessionId = await openSession(proven, { address: '203.0.113.200', device }, now)
  if (sessionId === null) throw new Error('no session was opened')
  return { ...proven, sessionId }
}

const holds = async ({ sessionId }: Session, now = NOW) => (await readSession(sessionId, now)) !== null

// OWASP ASVS 5.0, chapter V7 "Session Management": lifetimes, ending on sign-out, ending all, seeing and ending each.

describe('how long a session holds', () => {
  test('fourteen days without use, from the last use; and thirty days at most', async () => {
    const { proven } = await somebody()
    const [used, unused] = [await open(proven), await open(proven)]
    expect(await holds(unused, later(14, -1))).toBe(true)
    expect(await holds(await open(proven), later(14))).toBe(false)
    for (let day = 10; day < 30; day += 10) expect(await holds(used, later(day))).toBe(true)
    expect(await holds(used, later(30, -1))).toBe(true)
    expect(await holds(used, later(30))).toBe(false)
  })

  test('looking again soon writes nothing', async () => {
    const { proven } = await somebody()
    const session = await open(proven)
    const seen = async () =>
      (await asIdentity((tx) => tx.session.findUnique({ where: { id: session.sessionId } })))?.lastSeenAt
    await readSession(session.sessionId, later(0, 4))
    expect(await seen()).toEqual(NOW)
    await readSession(session.sessionId, later(0, 6))
    expect(await seen()).toEqual(later(0, 6))
  })

  test('a session that nobody made, or a cookie that was not signed here, is nobody', async () => {
    expect(await readSession('018f0000-0000-7000-8000-000000000000', NOW)).toBeNull()
    for (const value of ['', 'x', 'a.b.c.d.e', Buffer.from('{"sessionId":"1"}').toString('base64url')])
      expect(await sessionIdOf(value)).toBeNull()
  })
})

describe('ending a session', () => {
  test('signing out ends it for whoever kept the cookie, and no other one', async () => {
    const { proven } = await somebody()
    const [here, there] = [await open(proven), await open(proven)]
    expect(await endSession(here, here.sessionId, NOW)).toBe(true)
    expect([await holds(here), await holds(there)]).toEqual([false, true])
    expect(await endSession(here, here.sessionId, NOW)).toBe(false)
  })

  test('one by one from another device, and nobody else’s', async () => {
    const [mine, other] = [await somebody(), await somebody()]
    const desk = await open(mine.proven, 'Edge on Windows')
    const phone = await open(mine.proven, 'Chrome on Android', later(0, 1))
    const theirs = await open(other.proven)
    expect((await listSessions(desk, later(0, 2))).map(({ device, isThis }) => [device, isThis])).toEqual([
      ['Edge on Windows', true],
      ['Chrome on Android', false],
    ])
    expect(await endSession(desk, theirs.sessionId, NOW)).toBe(false)
    expect(await endSession(desk, phone.sessionId, NOW)).toBe(true)
    expect([await holds(desk), await holds(phone), await holds(theirs)]).toEqual([true, false, true])
    expect(await listSessions(desk, NOW)).toHaveLength(1)
  })

  test('everywhere at once', async () => {
    const { proven } = await somebody()
    const [phone, desk] = [await open(proven), await open(proven)]
    await signOutEverywhere(desk, NOW)
    expect([await holds(phone), await holds(desk)]).toEqual([false, false])
    expect(await holds(await open(proven))).toBe(true)
  })

  test('a new password needs the present one, and ends them all', async () => {
    const { proven, email } = await somebody()
    const [here, there] = [await open(proven), await open(proven)]
    const newPassword = 'seven teal lanterns drift'
    const change = (input: { oldPassword: string; newPassword: string }) =>
      changePassword(here, input, '203.0.113.201', NOW)
    expect(await change({ oldPassword: 'not it', newPassword })).toMatchObject({ reason: 'wrong-password' })
    expect(await change({ oldPassword: PASSWORD, newPassword: 'aaaaaaaaaa' })).toMatchObject({
      reason: 'weak-password',
    })
    expect([await holds(here), await holds(there)]).toEqual([true, true])
    const { loginId, membershipId, businessId } = proven
    const same = { loginId, membershipId, businessId }
    expect(await change({ oldPassword: PASSWORD, newPassword })).toMatchObject({ ok: true, value: same })
    expect([await holds(here), await holds(there)]).toEqual([false, false])
    const signIn = (password: string) => lookUpLogin({ email, password, address: '203.0.113.202' }, NOW)
    expect([await signIn(PASSWORD), await signIn(newPassword)]).toEqual([null, expect.objectContaining(same)])
  })

  test('who proved the old password, and was slower than its change, does not come in', async () => {
    const { proven, email } = await somebody()
    const visitor = { address: '203.0.113.203', device: 'slow' }
    const change = (newPassword: string) =>
      changePassword(proven, { oldPassword: PASSWORD, newPassword }, '203.0.113.203', NOW)
    const both = await Promise.all([change('seven teal lanterns drift'), change('eight grey herons at dusk')])
    expect(both.filter(({ ok }) => ok)).toHaveLength(1) // each proved the same old one; it can be changed once
    expect(await openSession(proven, visitor, NOW)).toBeNull()
    const again = await lookUpLogin({ email, password: PASSWORD, address: '203.0.113.204' }, NOW)
    expect(again).toBeNull()
  })

  test('access taken back, or the person put away: the session ends with it', async () => {
    for (const leave of [
      (actor: Actor) => revokeAccess(owner, { ...envelope(owner), membershipId: actor.membershipId }),
      (actor: Actor) => archivePerson(owner, { ...envelope(owner), personId: actor.personId }),
    ]) {
      const { actor, proven } = await somebody()
      const session = await open(proven)
      expect(await holds(session)).toBe(true)
      expect((await leave(actor)).ok).toBe(true)
      expect(await holds(session)).toBe(false)
      const row = await asIdentity((tx) => tx.session.findUniqueOrThrow({ where: { id: session.sessionId } }))
      expect(row.endedAt).not.toBeNull()
    }
  })
})

test('what happened leaves a trace', async () => {
  const { proven } = await somebody()
  const session = await open(proven)
  await endSession(session, session.sessionId, NOW)
  await signOutEverywhere(session, NOW)
  const events = await asIdentity((tx) =>
    tx.entryEvent.findMany({ where: { loginId: proven.loginId }, orderBy: { id: 'asc' }, select: { kind: true } }),
  )
  expect(events.map(({ kind }) => kind)).toEqual(['signed-in', 'signed-out', 'sessions-ended'])
})

test('a device by the names people know', () => {
  // User agents as these browsers send them (from memory).
  const known = {
    'Safari on iPhone':
      'Mozilla/5.0 (iPhone; CPU iPhone OS 18_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.5 Mobile/15E148 Safari/604.1',
    'Chrome on Android':
      'Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0.0.0 Mobile Safari/537.36',
    'Edge on Windows':
      'Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0.0.0 Safari/537.36 Edg/140.0.0.0',
    'Firefox on Linux': 'Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0',
    'Unknown device': 'curl/8.0',
  }
  for (const [words, userAgent] of Object.entries(known)) expect(deviceInWords(userAgent)).toBe(words)
})
