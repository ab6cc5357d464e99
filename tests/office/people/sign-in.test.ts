import { beforeAll, describe, expect, test } from 'vitest'
import type { Actor } from '@/lib/office/actor'
import { changePassword, readAccount, signOutEverywhere, switchTo } from '@/lib/office/people/account'
import { actorOf } from '@/lib/office/people/actor-of'
import { lookUpLogin } from '@/lib/office/people/sign-in'
import { TooManyTries } from '@/lib/office/people/sign-in-limit'
import { asIdentity, inScope } from '@/lib/platform/db/scope'
import { testDatabase } from '../../setup/database'
import { addSignIn, makeBusiness, PASSWORD } from './make-business'

let owner: Actor
const OWNER = 'owner@round.example'
let last = 0
/** Each test comes from an address of its own, so that one's tries do not count for another. */
const freshAddress = () => `192.0.2.${++last}`

const signIn = (email: string, password = PASSWORD, address = freshAddress()) =>
  lookUpLogin({ email, password, address })

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
    await asIdentity((tx) => tx.login.update({ where: { id: claims.loginId }, data: { disabledAt: new Date() } }))
    expect(await signIn('gone@round.example')).toBeNull()
    expect(await actorOf(claims)).toBeNull()
  })

  test('a membership taken back ends the session at once', async () => {
    const actor = await addSignIn({ businessId: owner.businessId, email: 'left@round.example', roles: ['technician'] })
    const claims = await signedIn('left@round.example')
    await inScope({ role: 'office', businessId: actor.businessId, personId: owner.personId }, (tx) =>
      tx.membership.updateMany({ where: { id: actor.membershipId }, data: { revokedAt: new Date() } }),
    )
    expect(await actorOf(claims)).toBeNull()
  })
})

describe('sessions', () => {
  test('signing out everywhere ends every session', async () => {
    await addSignIn({ businessId: owner.businessId, email: 'many@round.example', roles: ['technician'] })
    const [phone, desk] = [await signedIn('many@round.example'), await signedIn('many@round.example')]
    expect(await actorOf(phone)).not.toBeNull()
    await signOutEverywhere(desk)
    expect(await actorOf(phone)).toBeNull()
    expect(await actorOf(desk)).toBeNull()
    expect(await actorOf(await signedIn('many@round.example'))).not.toBeNull()
  })

  test('changing the password needs the present one and ends the other sessions only', async () => {
    await addSignIn({ businessId: owner.businessId, email: 'change@round.example', roles: ['technician'] })
    const [here, there] = [await signedIn('change@round.example'), await signedIn('change@round.example')]
    const newPassword = 'another long password'
    const wrong = await changePassword(here, { oldPassword: 'not it', newPassword }, freshAddress())
    expect(wrong).toMatchObject({ ok: false, reason: 'wrong-password' })
    const right = await changePassword(here, { oldPassword: PASSWORD, newPassword }, freshAddress())
    if (!right.ok) throw new Error(right.words)
    expect(await actorOf(right.value)).not.toBeNull()
    expect(await actorOf(there)).toBeNull()
    expect(await signIn('change@round.example', PASSWORD)).toBeNull()
    expect(await signIn('change@round.example', newPassword)).not.toBeNull()
  })

  test('one login, two businesses: switching goes to one of its own and nowhere else', async () => {
    const second = await makeBusiness('second@round.example')
    const here = await addSignIn({ businessId: owner.businessId, email: 'both@round.example', roles: ['technician'] })
    const there = await addSignIn({ businessId: second.businessId, email: 'both@round.example', roles: ['accountant'] })
    const claims = await signedIn('both@round.example')
    expect(claims.businessId).toBe(second.businessId) // the newest
    const { memberships } = await readAccount(claims)
    expect(memberships.map(({ membershipId }) => membershipId)).toEqual([here.membershipId, there.membershipId])
    const switched = await switchTo(claims, here.membershipId)
    expect(switched && (await actorOf(switched))).toMatchObject({ businessId: owner.businessId, roles: ['technician'] })
    expect(await switchTo(claims, second.membershipId)).toBeNull()
    // A session that names a membership of somebody else stands for nobody.
    expect(await actorOf({ ...claims, membershipId: second.membershipId })).toBeNull()
    expect(await actorOf({ ...claims, businessId: owner.businessId })).toBeNull()
  })
})

describe('the limit of tries', () => {
  const tries = async (count: number, email: (n: number) => string, address: string, password: string) => {
    const answers = await Promise.allSettled(
      Array.from({ length: count }, (_, n) => lookUpLogin({ email: email(n), password, address })),
    )
    return answers.filter((answer) => answer.status === 'rejected').map((answer) => answer.reason)
  }

  test('after five wrong tries at once even the right password waits, in words; another address does not', async () => {
    const address = freshAddress()
    const refusals = await tries(9, () => OWNER, address, 'wrong password')
    expect(refusals).toHaveLength(4)
    expect(refusals.every((reason) => reason instanceof TooManyTries)).toBe(true)
    await expect(signIn(OWNER, PASSWORD, address)).rejects.toThrow(/Wait 15 minutes/)
    expect(await signIn(OWNER)).not.toBeNull()
  })

  test('one address that tries many e-mails is stopped after thirty', async () => {
    const refusals = await tries(34, (n) => `nobody${n}@round.example`, freshAddress(), 'wrong password')
    expect(refusals).toHaveLength(4)
  })

  test('a right password forgets the wrong ones before it', async () => {
    const address = freshAddress()
    for (let round = 0; round < 3; round++) {
      expect(await tries(4, () => OWNER, address, 'wrong password')).toHaveLength(0)
      expect(await signIn(OWNER, PASSWORD, address)).not.toBeNull()
    }
  })

  test('runs out with its time', async () => {
    const address = freshAddress()
    await tries(6, () => OWNER, address, 'wrong password')
    await asIdentity((tx) => tx.rateLimit.updateMany({ data: { expire: BigInt(Date.now() - 1) } }))
    expect(await signIn(OWNER, PASSWORD, address)).not.toBeNull()
  })
})
