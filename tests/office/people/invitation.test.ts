import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import type { Role } from '@/lib/office/frame/role-actions'
import { changeRoles, invitePerson, makeResetLink, revokeAccess } from '@/lib/office/people/access-commands'
import { actorOf } from '@/lib/office/people/actor-of'
import { makeOwnerResetLink } from '@/lib/office/people/owner-reset'
import { addPerson, archivePerson, FORGOTTEN_NAME, forgetPerson } from '@/lib/office/people/person-commands'
import { findPerson, listPeople } from '@/lib/office/people/queries'
import { openSession, readSession } from '@/lib/office/people/sessions'
import { lookUpLogin } from '@/lib/office/people/sign-in'
import { acceptInvitation, readInvitation, readReset, resetPassword } from '@/lib/office/people/use-links'
import { asIdentity, inScope } from '@/lib/platform/db/scope'
import { testDatabase } from '../../setup/database'
import { addSignIn, envelope, makeBusiness, PASSWORD } from './make-business'

const NOW = new Date('2026-05-04T09:00:00Z')
let owner: Actor
let address = ''
let last = 0

beforeAll(async () => {
  await testDatabase()
  owner = await makeBusiness('owner@round.example')
})

const officeOf = (actor: Actor) => ({ role: 'office' as const, businessId: actor.businessId, personId: actor.personId })
const tokenOf = (path: string | null) => path?.split('/').at(-1) ?? ''

async function add(name: string, actor = owner): Promise<string> {
  address = `192.0.2.${++last}`
  const fields = {
    name,
    email: '',
    phone: '01632 960001',
    note: 'n',
    isTechnician: false,
    dayStart: '08:00',
    dayEnd: '17:00',
  }
  const result = await addPerson(actor, { ...envelope(actor), ...fields })
  if (!result.ok) throw new Error(result.reason)
  return result.value.personId
}

function invite(
  personId: string,
  email: string,
  roles: Role[] = ['technician'],
  clientId: string | null = null,
  actor = owner,
) {
  return invitePerson(actor, {
    ...envelope(actor),
    personId,
    email,
    roles,
    clientId,
  })
}

async function invited(personId: string, email: string, roles?: Role[], clientId?: string | null, actor?: Actor) {
  const result = await invite(personId, email, roles, clientId, actor)
  if (!result.ok) throw new Error(result.words)
  return { token: tokenOf(result.value.path), membershipId: result.value.membershipId }
}

const accept = (token: string, password = PASSWORD) => acceptInvitation({ token, password, address })

describe('an invitation', () => {
  test('lets a new person in, in the roles it names, with the password they choose', async () => {
    const personId = await add('Tess')
    const { token } = await invited(personId, 'tess@round.example', ['technician', 'accountant'])
    expect(await readInvitation(token)).toMatchObject({
      personName: 'Tess',
      email: 'tess@round.example',
      hasLogin: false,
    })
    expect((await findPerson(owner, personId))?.access).toMatchObject({ state: 'invited', email: 'tess@round.example' })
    expect(await accept(token, 'short')).toMatchObject({ ok: false, reason: 'weak-password' })
    const result = await accept(token)
    if (!result.ok) throw new Error(result.words)
    expect(await actorOf(result.value)).toMatchObject({ personId, roles: ['technician', 'accountant'] })
    expect(await lookUpLogin({ email: 'tess@round.example', password: PASSWORD, address })).not.toBeNull()
    expect((await findPerson(owner, personId))?.access).toMatchObject({
      state: 'signs-in',
      email: 'tess@round.example',
    })
  })

  test('used several times at the same moment it works once', async () => {
    const { token } = await invited(await add('Uma'), 'uma@round.example')
    const results = await Promise.all(Array.from({ length: 4 }, () => accept(token)))
    expect(results.filter((result) => result.ok)).toHaveLength(1)
    expect(await accept(token)).toMatchObject({ ok: false, reason: 'spent' })
    expect(await readInvitation(token)).toBeNull()
  })

  test('the token is nowhere in the database, only its SHA-256', async () => {
    const { token } = await invited(await add('Vic'), 'vic@round.example')
    const digest = Buffer.from(await crypto.subtle.digest('SHA-256', new TextEncoder().encode(token))).toString('hex')
    const links = await asIdentity((tx) => tx.oneTimeLink.findMany())
    expect(links.filter((link) => link.tokenHash === digest)).toHaveLength(1)
    const commands = await inScope(officeOf(owner), (tx) => tx.command.findMany())
    expect(
      JSON.stringify([links, commands], (_key, value) => (typeof value === 'bigint' ? String(value) : value)),
    ).not.toContain(token)
  })

  test('the same form sent again changes nothing and shows no link', async () => {
    const personId = await add('Will')
    const form = {
      ...envelope(owner),
      personId,
      email: 'will@round.example',
      roles: ['technician' as const],
      clientId: null,
    }
    const first = await invitePerson(owner, { ...form })
    const second = await invitePerson(owner, { ...form })
    expect(second).toMatchObject({ ok: true, value: { path: null } })
    expect(first.ok && (await readInvitation(tokenOf(first.value.path)))).not.toBeNull()
  })

  test('inviting again makes the link before it worthless; taking it back makes both so', async () => {
    const personId = await add('Xena')
    const first = await invited(personId, 'xena@round.example')
    const second = await invited(personId, 'xena@round.example', ['accountant'])
    expect(second.membershipId).toBe(first.membershipId)
    expect(await accept(first.token)).toMatchObject({ ok: false, reason: 'spent' })
    await revokeAccess(owner, { ...envelope(owner), membershipId: second.membershipId })
    expect(await accept(second.token)).toMatchObject({ ok: false, reason: 'spent' })
  })

  test('runs out after seven days', async () => {
    const { token, membershipId } = await invited(await add('Yan'), 'yan@round.example')
    const link = await asIdentity((tx) => tx.oneTimeLink.findFirstOrThrow({ where: { membershipId } }))
    expect(link.expiresAt.getTime() - link.createdAt.getTime()).toBeCloseTo(7 * 24 * 3_600_000, -4)
    await asIdentity((tx) => tx.oneTimeLink.update({ where: { id: link.id }, data: { expiresAt: new Date(0) } }))
    expect(await accept(token)).toMatchObject({ ok: false, reason: 'spent' })
  })

  test('a login that exists joins a second business with its own password only', async () => {
    const other = await makeBusiness('other@round.example')
    const personId = await add('Owner again', other)
    const { token } = await invited(personId, 'owner@round.example', ['accountant'], null, other)
    expect(await readInvitation(token)).toMatchObject({ hasLogin: true })
    expect(await accept(token, 'some other password')).toMatchObject({ ok: false, reason: 'wrong-password' })
    const result = await accept(token, PASSWORD)
    if (!result.ok) throw new Error(result.words)
    expect(await actorOf(result.value)).toMatchObject({ businessId: other.businessId, roles: ['accountant'] })
    expect(await lookUpLogin({ email: 'owner@round.example', password: PASSWORD, address })).not.toBeNull()
    // And now neither owner can make a link that would let them into the other's business.
    const membershipId = result.value.membershipId
    const reset = await makeResetLink(other, { ...envelope(other), membershipId })
    expect(reset).toMatchObject({ ok: false, reason: 'elsewhere-too' })
  })

  test('somebody of a client is let in as that client, of this business only', async () => {
    const clientId = newId()
    await inScope(officeOf(owner), (tx) =>
      tx.client.create({ data: { businessId: owner.businessId, id: clientId, name: 'Hotel' } }),
    )
    const { token } = await invited(await add('Zoe'), 'zoe@hotel.example', ['client'], clientId)
    const result = await accept(token)
    if (!result.ok) throw new Error(result.words)
    expect(await actorOf(result.value)).toMatchObject({ roles: ['client'], clientId })
    const stranger = await makeBusiness('stranger@round.example')
    const refusal = await invite(await add('S', stranger), 's@hotel.example', ['client'], clientId, stranger)
    expect(refusal).toMatchObject({ ok: false, reason: 'no-client' })
  })

  test('two people invited to one address before either came in: only the first comes in by it', async () => {
    const [first, second] = [await add('Uma'), await add('Una')]
    const email = 'twice@round.example'
    const links = [(await invited(first, email)).token, (await invited(second, email, ['owner'])).token]
    expect((await accept(links[0] ?? '')).ok).toBe(true)
    expect(await accept(links[1] ?? '')).toMatchObject({ ok: false, reason: 'email-taken' })
    const here = await asIdentity((tx) =>
      tx.membership.count({
        where: {
          businessId: owner.businessId,
          revokedAt: null,
          loginId: { not: null },
          personId: { in: [first, second] },
        },
      }),
    )
    expect(here).toBe(1)
  })

  test('two people of one business cannot have one sign-in', async () => {
    const refusal = await invite(await add('Double'), 'owner@round.example')
    expect(refusal).toMatchObject({ ok: false, reason: 'email-taken' })
  })
})

describe('a new password by link', () => {
  test('works once, at the same moment too, and ends every session', async () => {
    const actor = await addSignIn({ businessId: owner.businessId, email: 'lost@round.example', roles: ['technician'] })
    const proven = await lookUpLogin({ email: 'lost@round.example', password: PASSWORD, address: '192.0.2.200' })
    if (!proven) throw new Error('cannot sign in')
    const sessionId = (await openSession(proven, { address: '', device: '' }, NOW)) ?? ''
    const made = await makeResetLink(owner, { ...envelope(owner), membershipId: actor.membershipId })
    if (!made.ok) throw new Error(made.words)
    const token = tokenOf(made.value.path)
    expect(await readReset(token)).toEqual({ email: 'lost@round.example' })
    expect(await readInvitation(token)).toBeNull() // a link opens its own door only
    const passwords = ['first new password', 'second new password', 'third new password']
    const results = await Promise.all(passwords.map((password) => resetPassword({ token, password, address })))
    expect(results.filter((result) => result.ok)).toHaveLength(1)
    const winner = passwords[results.findIndex((result) => result.ok)] ?? ''
    expect(await lookUpLogin({ email: 'lost@round.example', password: winner, address: '192.0.2.201' })).not.toBeNull()
    expect(await lookUpLogin({ email: 'lost@round.example', password: PASSWORD, address: '192.0.2.202' })).toBeNull()
    expect(await readSession(sessionId, NOW)).toBeNull()
  })

  test('one that an owner kept is no longer good once its person belongs elsewhere too, or no longer here', async () => {
    const other = await makeBusiness('owner@elsewhere.example')
    const keep = async (email: string) => {
      const actor = await addSignIn({ businessId: owner.businessId, email, roles: ['technician'] })
      const made = await makeResetLink(owner, { ...envelope(owner), membershipId: actor.membershipId })
      if (!made.ok) throw new Error(made.words)
      return { actor, token: tokenOf(made.value.path) }
    }
    const use = (token: string) => resetPassword({ token, password: 'seven teal lanterns drift', address })
    // Joined by an invitation: the link is gone.
    const joining = await keep('joining@round.example')
    const invitation = await invited(await add('Joining', other), 'joining@round.example', ['technician'], null, other)
    expect((await accept(invitation.token)).ok).toBe(true)
    expect(
      await asIdentity((tx) => tx.oneTimeLink.count({ where: { email: 'joining@round.example', purpose: 'reset' } })),
    ).toBe(0)
    expect(await use(joining.token)).toMatchObject({ ok: false, reason: 'spent' })
    // Joined in whatever other way: it is looked at again when it is used.
    const joined = await keep('joined@round.example')
    await addSignIn({ businessId: other.businessId, email: 'joined@round.example', roles: ['owner'] })
    expect(await readReset(joined.token)).toBeNull()
    expect(await use(joined.token)).toMatchObject({ ok: false, reason: 'spent' })
    expect(
      await lookUpLogin({ email: 'joined@round.example', password: PASSWORD, address: '192.0.2.210' }),
    ).not.toBeNull()
    // Left: whoever made it may no longer decide.
    const left = await keep('leaver@round.example')
    await inScope(officeOf(owner), (tx) =>
      tx.membership.updateMany({ where: { id: left.actor.membershipId }, data: { revokedAt: new Date('2026-01-01') } }),
    )
    expect(await use(left.token)).toMatchObject({ ok: false, reason: 'spent' })
  })

  test('from the terminal: for an owner, and for nobody else', async () => {
    const made = await makeOwnerResetLink('OWNER@round.example')
    expect(made.ok && (await readReset(tokenOf(made.value.path)))).toEqual({ email: 'owner@round.example' })
    expect(await makeOwnerResetLink('tess@round.example')).toMatchObject({ ok: false, reason: 'not-an-owner' })
    expect(await makeOwnerResetLink('nobody@round.example')).toMatchObject({ ok: false, reason: 'not-an-owner' })
  })
})

describe('who leaves', () => {
  test('of two owners who send each other away at the same moment one stays', async () => {
    const first = await makeBusiness('first@pair.example')
    const second = await addSignIn({ businessId: first.businessId, email: 'second@pair.example', roles: ['owner'] })
    const results = await Promise.all([
      archivePerson(first, { ...envelope(first), personId: second.personId }),
      revokeAccess(second, { ...envelope(second), membershipId: first.membershipId }),
    ])
    expect(results.filter((result) => result.ok)).toHaveLength(1)
    expect(results.find((result) => !result.ok)).toMatchObject({ reason: 'last-owner' })
  })

  test('the last owner keeps the role', async () => {
    const only = await makeBusiness('only@pair.example')
    const change = { membershipId: only.membershipId, roles: ['technician' as const], clientId: null }
    expect(await changeRoles(only, { ...envelope(only), ...change })).toMatchObject({ reason: 'last-owner' })
  })

  test('forgetting blanks what is personal, in the log too, and keeps the row and the facts', async () => {
    const personId = await add('Unforgettable Name')
    const { token } = await invited(personId, 'unforgettable@round.example')
    const accepted = await accept(token)
    expect((await forgetPerson(owner, { ...envelope(owner), personId })).ok).toBe(true)
    expect(accepted.ok && (await actorOf(accepted.value))).toBeNull()
    const person = await findPerson(owner, personId)
    expect(person).toMatchObject({ name: FORGOTTEN_NAME, email: '', phone: '', note: '', archived: true, access: null })
    const left = await inScope(officeOf(owner), async (tx) => [
      await tx.command.findMany(),
      await tx.audit.findMany(),
      await tx.person.findMany(),
      await tx.personPrivate.findMany(),
    ])
    const logins = await asIdentity(async (tx) => [await tx.login.findMany(), await tx.oneTimeLink.findMany()])
    expect(JSON.stringify([left, logins]).toLowerCase()).not.toContain('unforgettable')
  })

  test('people of another business are not there', async () => {
    const personId = await add('Mine')
    const stranger = await makeBusiness('far@pair.example')
    expect(await findPerson(stranger, personId)).toBeNull()
    expect(await archivePerson(stranger, { ...envelope(stranger), personId })).toMatchObject({ reason: 'not-found' })
    expect(await invite(personId, 'mine@round.example', ['owner'], null, stranger)).toMatchObject({
      reason: 'not-found',
    })
    const listed = await listPeople(stranger, { search: '', archived: false, page: 1 })
    expect(listed.people.map(({ name }) => name)).toEqual(['far@pair.example'])
    expect((await findPerson(owner, personId))?.archived).toBe(false)
  })
})
