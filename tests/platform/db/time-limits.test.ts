import { expect, test, vi } from 'vitest'
import { inScope } from '@/lib/platform/db/scope'
import { whileWanted } from '@/lib/platform/db/still-wanted'
import { TookTooLong } from '@/lib/platform/db/took-too-long'
import { askAs, testDatabase } from '../../setup/database'

const NOBODY = '00000000-0000-7000-8000-000000000001'
const scope = { role: 'office', businessId: NOBODY, personId: NOBODY } as const

/** Statements that sleep, as the database's owner sees them at work. */
const asleep = () =>
  askAs({ role: 'app' }, async (client) => {
    const { rows } = await client.query<{ count: number }>(
      `select count(*)::int as count from pg_stat_activity where datname = current_database() and state = 'active' and query like '%pg_sleep(%'
         and pid <> pg_backend_pid()`,
    )
    return rows[0]?.count
  })
const sleep = (seconds: number, limits = {}) =>
  inScope(scope, (tx) => tx.$queryRaw`SELECT 1 AS slept FROM pg_sleep(${seconds}::float8)`, limits)

test('a statement that runs longer than it may is ended in the database, and the error says so', async () => {
  await testDatabase()
  await expect(sleep(30, { timeoutMs: 400 })).rejects.toBeInstanceOf(TookTooLong)
  expect(await asleep()).toBe(0)
})

test('many short statements that take too long together are given up too', async () => {
  await testDatabase()
  const slowly = inScope(
    scope,
    async (tx) => {
      for (let i = 0; i < 30; i++) await tx.$queryRaw`SELECT 1 AS slept FROM pg_sleep(0.05)`
    },
    { timeoutMs: 300 },
  )
  await expect(slowly).rejects.toBeInstanceOf(TookTooLong)
})

test('when whoever asked is gone, the running statement ends in the database, and a later one of the same connection is left alone', async () => {
  await testDatabase()
  const gone = new AbortController()
  const reading = whileWanted(gone.signal, () => sleep(30)).then(
    () => 'read',
    () => 'ended',
  )
  await vi.waitFor(async () => expect(await asleep()).toBe(1), { timeout: 10_000 })
  gone.abort()
  expect(await reading).toBe('ended')
  expect(await asleep()).toBe(0)
  await expect(sleep(0.01)).resolves.toHaveLength(1)
  await expect(whileWanted(gone.signal, () => sleep(0.01))).rejects.toThrow()
})
