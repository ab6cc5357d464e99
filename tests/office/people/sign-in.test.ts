import { beforeAll, describe, expect, test } from 'vitest'
import type { Actor } from '@/lib/office/frame/actor'
import { readAccount, switchTo } from '@/lib/office/people/account'
import { actorOf } from '@/lib/office/people/actor-of'
import { openSession, readSession } from '@/lib/office/people/sessions'
import { lookUpLogin } from '@/lib/office/people/sign-in'
import { TooManyTries } from '@/lib/office/people/sign-in-limit'
import { asIdentity, inScope } from '@/lib/platform/db/scope'
import { testDatabase } from '../../setup/database'
import { addSignIn, makeBusiness, PASSWORD } from './make-business'

let owner: Actor
const OWNER = 'owner@round.example'
/** A moment like any other. */
const NOW = new Date('2026-05-04T09:00:00Z')
let last = 0
/** Each test comes from an address of its own, so that one's tries do not count for another. */
const freshAddress = () => `192.0.2.${++last}`

const signIn = (email: string, password = PASSWORD, address = freshAddress()) =>
  lookUpLogin({ email, password, address }, NOW)

async function signedIn(email: string) {
  const claims = await signIn(email)
  if (!claims) throw new Error(`${email} cannot sign in`)
  return claims
}

beforeAll(async () => {
  await testDatabase()
  owner = await makeBusiness(OWNER)
})

describe('signing in', () => {
  test('right password: the membership of that login, whatever the case of the e-mail', async () => {
    expect(await actorOf(await signedIn(' OWNER@Round.Example '))).toMatchObject({
      businessId: owner.businessId,
      personId: owner.personId,
      roles: ['owner'],
    })
  })

  test('wrong password, unknown e-mail and a login without password are one answer', async () => {
    await asIdentity((tx) => tx.login.create({ data: { id: crypto.randomUUID(), email: 'none@round.example' } }))
    expect(await signIn(OWNER, 'wrong password')).toBeNull()
    expect(await signIn('nobody@round.example')).toBeNull()
    expect(await signIn('none@round.example')).toBeNull()
  })

  test('a disabled login is refused, and its session ends at once', async () => {
    await addSignIn({ businessId: owner.businessId, email: 'gone@round.example', roles: ['technician'] })
    const claims = await signedIn('gone@round.example')
    await asIdentity((tx) =>
      tx.login.update({ where: { id: claims.loginId }, data: { disabledAt: new Date('2026-11-24') } }),
    )
    expect(await signIn('gone@round.example')).toBeNull()
    expect(await actorOf(claims)).toBeNull()
  })

  test('a membership taken back ends the session at once', async () => {
    const actor = await addSignIn({ businessId: owner.businessId, email: 'left@round.example', roles: ['technician'] })
    const claims = await signedIn('left@round.example')
    await inScope({ role: 'office', businessId: actor.businessId, personId: owner.personId }, (tx) =>
      tx.membership.updateMany({ where: { id: actor.membershipId }, data: { revokedAt: new Date('2026-11-24') } }),
    )
    expect(await actorOf(claims)).toBeNull()
  })
})

describe('one login, two businesses', () => {
  test('switching goes to one of its own and nowhere else', async () => {
    const second = await makeBusiness('second@round.example')
    const here = await addSignIn({ businessId: owner.businessId, email: 'both@round.example', roles: ['technician'] })
    const there = await addSignIn({ businessId: second.businessId, email: 'both@round.example', roles: ['accountant'] })
    const proven = await signedIn('both@round.example')
    expect(proven.businessId).toBe(second.businessId) // the newest
    const { memberships } = await readAccount(proven)
    expect(memberships.map(({ membershipId }) => membershipId)).toEqual([here.membershipId, there.membershipId])
    const sessionId = (await openSession(proven, { address: '', device: '' }, NOW)) ?? ''
    const session = { ...proven, sessionId }
    expect(await switchTo(session, here.membershipId)).toBe(true)
    expect((await readSession(sessionId, NOW))?.actor).toMatchObject({
      businessId: owner.businessId,
      roles: ['technician'],
    })
    expect(await switchTo(session, second.membershipId)).toBe(false)
    expect((await readSession(sessionId, NOW))?.actor.businessId).toBe(owner.businessId)
    // Who names a membership of somebody else stands for nobody.
    expect(await actorOf({ ...proven, membershipId: second.membershipId })).toBeNull()
    expect(await actorOf({ ...proven, businessId: owner.businessId })).toBeNull()
  })
})

describe('the limit of tries', () => {
  const tries = async (count: number, email: (n: number) => string, address: string, password: string) => {
    const answers = await Promise.allSettled(
      Array.from({ length: count }, (_, n) => lookUpLogin({ email: email(n), password, address }, NOW)),
    )
    return answers.filter((answer) => answer.status === 'rejected').map((answer) => answer.reason)
  }

  test('after five wrong tries at once even the right password waits, in words; elsewhere it does not', async () => {
    await addSignIn({ businessId: owner.businessId, email: 'tried@round.example', roles: ['technician'] })
    await openSession(await signedIn('tried@round.example'), { address: '198.51.100.7', device: '' }, NOW)
    const address = freshAddress()
    const refusals = await tries(9, () => 'tried@round.example', address, 'wrong password')
    expect(refusals).toHaveLength(4)
    expect(refusals.every((reason) => reason instanceof TooManyTries)).toBe(true)
    await expect(signIn('tried@round.example', PASSWORD, address)).rejects.toThrow(/Wait 15 minutes/)
    expect(await signIn('tried@round.example', PASSWORD, '198.51.100.7')).not.toBeNull()
  })

  test('one address that tries many e-mails is stopped after thirty', async () => {
    const refusals = await tries(34, (n) => `nobody${n}@round.example`, freshAddress(), 'wrong password')
    expect(refusals).toHaveLength(4)
  })

  test('all addresses of one household or phone, a /64 of IPv6, count as one (RFC 6177, from memory)', async () => {
    const answers = await Promise.allSettled(
      Array.from({ length: 34 }, (_, n) =>
        lookUpLogin({ email: `v6${n}@round.example`, password: 'wrong', address: `2001:db8:7:7::${n.toString(16)}` }),
      ),
    )
    expect(answers.filter(({ status }) => status === 'rejected')).toHaveLength(4)
  })

  test('a right password forgets the wrong ones before it', async () => {
    const address = freshAddress()
    const email = 'clumsy@round.example'
    await addSignIn({ businessId: owner.businessId, email, roles: ['technician'] })
    for (let round = 0; round < 3; round++) {
      expect(await tries(4, () => email, address, 'wrong password')).toHaveLength(0)
      expect(await signIn(email, PASSWORD, address)).not.toBeNull()
    }
  })

  test('runs out with its time', async () => {
    const address = freshAddress()
    const email = 'patient@round.example'
    await addSignIn({ businessId: owner.businessId, email, roles: ['technician'] })
    await tries(6, () => email, address, 'wrong password')
    await asIdentity((tx) => tx.rateLimit.updateMany({ data: { expire: 1n } }))
    const later = new Date(NOW.getTime() + 15 * 60_000)
    expect(await lookUpLogin({ email, password: PASSWORD, address }, later)).not.toBeNull()
  })
})

describe('one account tried from everywhere', () => {
  const at = (seconds: number) => new Date(NOW.getTime() + seconds * 1000)
  const wrong = (email: string, now: Date) => lookUpLogin({ email, password: 'wrong', address: freshAddress() }, now)

  /** Tries as soon as it is allowed, each time from a new address: the waits in seconds between the tries. */
  async function waits(email: string, count: number): Promise<number[]> {
    const found: number[] = []
    for (let second = 0; found.length < count; ) {
      const refusal: unknown = await wrong(email, at(second)).catch((error: unknown) => error)
      const wait = refusal instanceof TooManyTries ? refusal.waitMs / 1000 : 0
      expect(wait <= 300 && (refusal === null || wait > 0)).toBe(true)
      if (wait > 0) second += wait
      else found.push(second)
    }
    return found.slice(1).map((second, index) => second - (found[index] ?? 0))
  }

  test('waits longer and longer, to five minutes and no more, alike whether there is such a login or not', async () => {
    await addSignIn({ businessId: owner.businessId, email: 'target@round.example', roles: ['technician'] })
    const expected = [0, 0, 0, 0, 1, 2, 4, 8, 16, 32, 64, 128, 256, 300, 300]
    expect(await waits('target@round.example', 16)).toEqual(expected)
    expect(await waits('nobody.there@round.example', 16)).toEqual(expected)
  })

  test('sixty tries at one moment, each from another address: five are looked at', async () => {
    await addSignIn({ businessId: owner.businessId, email: 'sixty@round.example', roles: ['technician'] })
    const answers = await Promise.allSettled(Array.from({ length: 60 }, () => wrong('sixty@round.example', NOW)))
    expect(answers.filter(({ status }) => status === 'fulfilled')).toHaveLength(5)
  })

  test('the owner is not locked out: from where they came in before at once, from elsewhere after five minutes', async () => {
    await addSignIn({ businessId: owner.businessId, email: 'shut@round.example', roles: ['technician'] })
    const home = freshAddress()
    const proven = await signIn('shut@round.example', PASSWORD, home)
    if (!proven) throw new Error('cannot sign in')
    await openSession(proven, { address: home, device: '' }, NOW)
    await waits('shut@round.example', 16)
    const later = at(24 * 3600 - 1) // well within the day for which tries are remembered
    for (let n = 0; n < 3; n++) await wrong('shut@round.example', later).catch(() => undefined)
    expect(await lookUpLogin({ email: 'shut@round.example', password: PASSWORD, address: home }, later)).not.toBeNull()
    await wrong('shut@round.example', later).catch(() => undefined)
    const elsewhere = { email: 'shut@round.example', password: PASSWORD, address: freshAddress() }
    expect(await lookUpLogin(elsewhere, new Date(later.getTime() + 300_000))).not.toBeNull()
  })

  test('after a day without a try it begins anew', async () => {
    await waits('forgotten@round.example', 10)
    const nextWeek = new Date(NOW.getTime() + 7 * 24 * 3_600_000)
    for (let n = 0; n < 5; n++) expect(await wrong('forgotten@round.example', nextWeek)).toBeNull()
    await expect(wrong('forgotten@round.example', nextWeek)).rejects.toThrow('Wait one second')
  })
})

test('no counter, delay, session or trace holds an e-mail or network address in clear', async () => {
  const kept = await asIdentity(async (tx) => [
    await tx.rateLimit.findMany({ select: { key: true } }),
    await tx.signInDelay.findMany(),
    await tx.session.findMany(),
    await tx.entryEvent.findMany(),
  ])
  expect(kept.every((rows) => rows.length > 0)).toBe(true)
  expect(JSON.stringify(kept)).not.toMatch(/@|round\.example|192\.0\.2\.|198\.51\.100\./)
  expect(JSON.stringify(kept[3])).toMatch(/sign-in-failed/)
})
