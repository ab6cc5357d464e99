import pg from 'pg'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { askAs, testDatabase } from '../../setup/database'

// PostgreSQL manual, "Writing SECURITY DEFINER Functions Safely": a fixed search_path ending in pg_temp, and EXECUTE taken
// from PUBLIC in the transaction that makes the function.

const LATER = '2100-01-01T00:00Z'
let owner: pg.Client
const [businessA, businessB] = [newId(), newId()]
const [ours, theirs] = [newId(), newId()]
const [ourPerson, theirPerson] = [newId(), newId()]
const [ourLogin, theirLogin] = [newId(), newId()]
const ourOffice = { role: 'office', businessId: businessA, personId: ourPerson } as const

beforeAll(async () => {
  const { ownerUrl } = await testDatabase()
  owner = new pg.Client({ connectionString: ownerUrl })
  await owner.connect()
  await askAs({ role: 'identity' }, async (client) => {
    for (const [id, email] of [
      [ourLogin, 'ours@round.example'],
      [theirLogin, 'theirs@round.example'],
    ])
      await client.query('INSERT INTO identity.login (id, email, password_hash) VALUES ($1, $2, $3)', [
        id,
        email,
        'hash',
      ])
  })
  for (const [businessId, personId, membershipId, loginId] of [
    [businessA, ourPerson, ours, ourLogin],
    [businessB, theirPerson, theirs, theirLogin],
  ] as const)
    await askAs({ role: 'office', businessId, personId }, async (client) => {
      await client.query('INSERT INTO business (id, name) VALUES ($1, $2)', [businessId, businessId])
      await client.query('INSERT INTO person (business_id, id, name) VALUES ($1, $2, $3)', [businessId, personId, 'P'])
      await client.query(
        `INSERT INTO membership (business_id, id, person_id, login_id, roles) VALUES ($1, $2, $3, $4, '{owner}')`,
        [businessId, membershipId, personId, loginId],
      )
    })
  await askAs({ role: 'identity' }, async (client) => {
    for (const [businessId, membershipId, loginId] of [
      [businessA, ours, ourLogin],
      [businessB, theirs, theirLogin],
    ]) {
      await client.query(
        `INSERT INTO identity.session (id, login_id, business_id, membership_id, ends_at) VALUES ($1, $2, $3, $4, $5)`,
        [newId(), loginId, businessId, membershipId, LATER],
      )
      await client.query(
        `INSERT INTO identity.one_time_link (id, purpose, token_hash, login_id, business_id, membership_id, email, expires_at)
         VALUES ($1::uuid, 'reset', $1::text, $2, $3, $4, 'x@round.example', $5)`,
        [newId(), loginId, businessId, membershipId, LATER],
      )
    }
  })
})
afterAll(() => owner?.end())

test('every function that runs with other rights has a fixed path, an owner of few rights, and one caller', async () => {
  const { rows } = await owner.query(
    `SELECT p.proname AS name, p.proconfig AS settings, r.rolname AS owner, r.rolsuper OR r.rolbypassrls AS mighty,
       array(SELECT a.grantee::regrole::text FROM aclexplode(p.proacl) a WHERE a.grantee <> p.proowner ORDER BY 1) AS callers,
       EXISTS (SELECT 1 FROM aclexplode(p.proacl) a WHERE a.grantee = 0) OR p.proacl IS NULL AS everybody
     FROM pg_proc p JOIN pg_roles r ON r.oid = p.proowner JOIN pg_namespace n ON n.oid = p.pronamespace
     WHERE p.prosecdef AND n.nspname IN ('public', 'identity') ORDER BY 1`,
  )
  expect(rows.map(({ name }) => name)).toEqual([
    'access_of',
    'end_access',
    'forget_logins_of',
    'make_first_login',
    'signs_in_here',
    'write_invitation',
    'write_reset_link',
  ])
  for (const { name, ...rest } of rows)
    expect([name, rest]).toEqual([
      name,
      {
        settings: ['search_path=pg_catalog, pg_temp'],
        owner: 'tankround_identity',
        mighty: false,
        callers: ['tankround_office'],
        everybody: false,
      },
    ])
})

test('clients, jobs and the identity’s own login may call none of them', async () => {
  const calls = [`SELECT identity.signs_in_here('x')`, `SELECT identity.end_access('{}')`]
  for (const call of calls)
    for (const who of [{ role: 'client', businessId: businessA, clientId: newId() }, { role: 'jobs' }] as const)
      await expect(askAs(who, (client) => client.query(call))).rejects.toThrow(/permission denied/)
})

test('an office changes what a membership may do, never whose it is', async () => {
  const change = (column: string, value: unknown) =>
    askAs(ourOffice, (client) =>
      client.query(`UPDATE membership SET ${column} = $1 WHERE business_id = $2 AND id = $3`, [value, businessA, ours]),
    )
  await expect(change('login_id', theirLogin)).rejects.toThrow(/permission denied/)
  await expect(change('person_id', ourPerson)).rejects.toThrow(/permission denied/)
  expect((await change('roles', ['owner'])).rowCount).toBe(1)
})

describe('from one business into another', () => {
  const ask = async <T>(sql: string, values: unknown[]): Promise<T> => {
    const { rows } = await askAs(ourOffice, (client) => client.query(sql, values))
    return rows[0]?.answer
  }

  test('no address is told, no link written, no access ended, nobody forgotten', async () => {
    const people = 'SELECT array_agg(membership_id::text) AS answer FROM identity.access_of($1::uuid[])'
    expect(await ask(people, [[ours, theirs]])).toEqual([ours])
    expect(await ask('SELECT identity.signs_in_here($1) AS answer', ['ours@round.example'])).toBe(true)
    expect(await ask('SELECT identity.signs_in_here($1) AS answer', ['theirs@round.example'])).toBe(false)
    const link = [newId(), 'hash of a token', theirs, LATER]
    expect(await ask('SELECT identity.write_reset_link($1, $2, $3, $4) AS answer', link)).toBe('not-found')
    const invitation = [newId(), 'hash of another', 'theirs@round.example', theirs, LATER]
    expect(await ask('SELECT identity.write_invitation($1, $2, $3, $4, $5) AS answer', invitation)).toBe(false)
    await ask('SELECT identity.end_access($1::uuid[])::text AS answer', [[theirs]])
    await ask('SELECT identity.forget_logins_of($1)::text AS answer', [theirPerson])
    expect(
      await ask('SELECT identity.make_first_login($1, $2, $3) AS answer', [newId(), 'new@round.example', 'h']),
    ).toBe(false)
    const left = await askAs({ role: 'identity' }, async (client) => ({
      logins: (await client.query('SELECT email FROM identity.login ORDER BY 1')).rows.map(({ email }) => email),
      links: (await client.query('SELECT count(*)::int AS n FROM identity.one_time_link')).rows[0].n,
      open: (await client.query('SELECT count(*)::int AS n FROM identity.session WHERE ended_at IS NULL')).rows[0].n,
    }))
    expect(left).toEqual({ logins: ['ours@round.example', 'theirs@round.example'], links: 2, open: 2 })
  })

  test('in one’s own it does its work', async () => {
    await ask('SELECT identity.end_access($1::uuid[])::text AS answer', [[ours]])
    const open = await askAs({ role: 'identity' }, (client) =>
      client.query('SELECT business_id::text FROM identity.session WHERE ended_at IS NULL'),
    )
    expect(open.rows).toEqual([{ business_id: businessB }])
    await ask('SELECT identity.forget_logins_of($1)::text AS answer', [ourPerson])
    const logins = await askAs({ role: 'identity' }, (client) => client.query('SELECT email FROM identity.login'))
    expect(logins.rows).toEqual([{ email: 'theirs@round.example' }])
  })
})
