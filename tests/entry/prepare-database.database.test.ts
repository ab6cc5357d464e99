import { Client } from 'pg'
import { beforeAll, describe, expect, test } from 'vitest'
import { appUrlFor } from '@/lib/entry/database'
import { prepareDatabase } from '@/lib/entry/prepare-database'
import { checkLoginRole } from '@/lib/platform/db/check-login-role'
import { WAYS_IN } from '@/lib/platform/db/ensure-login-role'
import { askAs, testDatabase } from '../setup/database'

let ownerUrl = ''
let appUrl = ''
let identityUrl = ''
beforeAll(async () => {
  const urls = await testDatabase()
  ownerUrl = urls.ownerUrl
  appUrl = urls.appUrl
  identityUrl = urls.identityUrl
})

describe('preparing a database', () => {
  test('may be done again, and by two processes at once', async () => {
    const urls = { ownerUrl, appUrl, identityUrl }
    await Promise.all([prepareDatabase(urls), prepareDatabase(urls)])
    await checkLoginRole(appUrl, WAYS_IN.app)
    await checkLoginRole(identityUrl, WAYS_IN.identity)
  })

  test('gives the application the four roles and no right of its own', async () => {
    const taken: string[] = []
    for (const role of ['office', 'identity', 'jobs'] as const)
      await askAs(role === 'office' ? { role, businessId: '' } : { role }, async (client) => {
        taken.push((await client.query('select current_user as name')).rows[0].name)
      })
    expect(taken).toEqual(['tankround_office', 'tankround_identity', 'tankround_jobs'])
    await expect(askAs({ role: 'app' }, (client) => client.query('select 1 from public.business'))).rejects.toThrow(
      /permission denied/,
    )
  })

  test('refuses, in words, a database that is newer than the code', async () => {
    const change = (sql: string) => askAs({ role: 'owner' }, (client) => client.query(sql))
    await change(
      `insert into _prisma_migrations (id, checksum, migration_name, finished_at, applied_steps_count)
       values ('later', 'x', '20990101000000_from_the_future', now(), 1)`,
    )
    try {
      await expect(prepareDatabase({ ownerUrl, appUrl, identityUrl })).rejects.toThrow(
        /database is newer than this Tankround.*20990101000000_from_the_future/,
      )
    } finally {
      await change(`delete from _prisma_migrations where id = 'later'`)
    }
  })

  test('refuses an application role that does not know its password', async () => {
    const wrong = new URL(appUrl)
    wrong.password = 'not-this-one'
    await expect(prepareDatabase({ ownerUrl, appUrl: wrong.toString(), identityUrl })).rejects.toThrow(
      /APP_DATABASE_URL cannot sign in/,
    )
  })

  test('says in words that nothing answers', async () => {
    const nowhere = 'postgresql://nobody:x@127.0.0.1:1/none'
    await expect(prepareDatabase({ ownerUrl: nowhere, appUrl, identityUrl })).rejects.toThrow(
      'The database none at 127.0.0.1:1 does not answer',
    )
  })
})

describe('a role that is too powerful for the application is refused', () => {
  test('one that owns the tables', async () => {
    await expect(checkLoginRole(ownerUrl, WAYS_IN.app)).rejects.toThrow(/owns the table .*APP_DATABASE_URL/)
  })

  test('one that may take the role of an owner', async () => {
    const client = new Client({ connectionString: ownerUrl })
    await client.connect()
    try {
      await client.query(`
        create role tankround_test_maker nologin;
        create role tankround_test_heir login noinherit password 'only-for-tests' in role tankround_test_maker;
        grant tankround_test_maker to current_user;
        grant create on schema public to tankround_test_maker;
        create table made_by_another ();
        alter table made_by_another owner to tankround_test_maker`)
      const url = appUrlFor(ownerUrl, 'tankround_test_heir', 'only-for-tests')
      await expect(checkLoginRole(url, WAYS_IN.app)).rejects.toThrow(/owns the table public.made_by_another/)
    } finally {
      await client.query(`
        drop table if exists made_by_another;
        revoke create on schema public from tankround_test_maker;
        drop role if exists tankround_test_heir, tankround_test_maker`)
      await client.end()
    }
  })

  test('one that could become the role of the other way in; preparing takes that away from it', async () => {
    const role = decodeURIComponent(new URL(appUrl).username)
    await askAs({ role: 'owner' }, (client) => client.query(`grant tankround_identity to ${role}`))
    await expect(checkLoginRole(appUrl, WAYS_IN.app)).rejects.toThrow(/may become tankround_identity/)
    await prepareDatabase({ ownerUrl, appUrl, identityUrl })
    await checkLoginRole(appUrl, WAYS_IN.app)
  })
})
