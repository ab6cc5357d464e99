import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { database } from '@/lib/platform/db/client'
import { inScope } from '@/lib/platform/db/scope'
import { QUEUES } from '@/lib/platform/jobs/queues'
import { sendJob } from '@/lib/platform/jobs/send'
import { startWorker } from '@/lib/platform/jobs/worker'
import { askAs, testDatabase } from '../../setup/database'

const businessId = newId()
const office = { role: 'office', businessId, personId: newId() } as const
let appUrl = ''

beforeAll(async () => {
  appUrl = (await testDatabase()).appUrl
})
beforeEach(async () => {
  await askAs({ role: 'jobs' }, (client) => client.query('delete from pgboss.job'))
})

const waiting = (name: string) =>
  askAs(
    { role: 'jobs' },
    async (client) => (await client.query('select data from pgboss.job where name = $1', [name])).rows,
  )

describe('a job sent in a transaction', () => {
  test('exists after a commit and holds ids only', async () => {
    const id = await inScope(office, (tx) => sendJob(tx, 'rebuild-derived', { businessId }))
    expect(id).toMatch(/^[0-9a-f-]{36}$/)
    expect(await waiting('rebuild-derived')).toEqual([{ data: { businessId } }])
  })

  test('does not exist after a rollback', async () => {
    const failed = inScope(office, async (tx) => {
      await sendJob(tx, 'rebuild-derived', { businessId })
      throw new Error('the rest of the command failed')
    })
    await expect(failed).rejects.toThrow('the rest of the command failed')
    expect(await waiting('rebuild-derived')).toEqual([])
  })

  test('asked for twice while it waits is one job per business', async () => {
    const other = newId()
    const send = (to: string) => inScope(office, (tx) => sendJob(tx, 'refit-life-models', { businessId: to }))
    expect(await send(businessId)).not.toBeNull()
    expect(await send(businessId)).toBeNull()
    expect(await send(other)).not.toBeNull()
  })

  test('every mail is a job of its own', async () => {
    await inScope(office, (tx) => sendJob(tx, 'send-mail', { businessId, visitId: newId() }))
    await inScope(office, (tx) => sendJob(tx, 'send-mail', { businessId, visitId: newId() }))
    expect(await waiting('send-mail')).toHaveLength(2)
  })
})

describe('rights on the job tables', () => {
  test('a client may not send', async () => {
    const client = { role: 'client', businessId, personId: newId(), clientId: newId() } as const
    await expect(inScope(client, (tx) => sendJob(tx, 'rebuild-derived', { businessId }))).rejects.toThrow(
      /permission denied/,
    )
  })

  test('the office may add a job and may not read or change any', async () => {
    for (const sql of ['select data from pgboss.job', 'delete from pgboss.job', "update pgboss.job set data = '{}'"])
      await expect(askAs(office, (client) => client.query(sql))).rejects.toThrow(/permission denied/)
  })

  test('the client role has no right on any table of the queue', async () => {
    const { rows } = await askAs({ role: 'owner' }, (client) =>
      client.query(
        `select table_name, grantee, privilege_type from information_schema.role_table_grants
          where table_schema = 'pgboss' and grantee in ('tankround_client', 'tankround_identity', 'PUBLIC')`,
      ),
    )
    expect(rows).toEqual([])
  })
})

describe('the worker', () => {
  test('does what was asked, and asks for a refit of every business where it is night', async () => {
    const done: string[] = []
    const faults: unknown[] = []
    const businesses = [newId(), newId()]
    const zones = ['Europe/London', 'Africa/Accra', 'America/Los_Angeles']
    const worker = await startWorker({
      appUrl,
      now: () => new Date('2026-11-25T03:40:00Z'),
      listBusinesses: async () => zones.map((timeZone, at) => ({ id: businesses[at] ?? newId(), timeZone })),
      log: (_line, error) => error && faults.push(error),
      handlers: { 'refit-life-models': async (ids) => void done.push(ids.businessId) },
    })
    try {
      const { rows } = await askAs({ role: 'jobs' }, (client) => client.query('select name, cron from pgboss.schedule'))
      expect(rows).toEqual([{ name: 'nightly', cron: '40 * * * *' }])
      await inScope(office, (tx) => sendJob(tx, 'nightly', { businessId }))
      await expect.poll(() => [...done].sort(), { timeout: 20_000 }).toEqual([...businesses].sort())
      expect(faults).toEqual([])
    } finally {
      await worker.stop()
    }
  })

  test('every queue of the list exists in a migrated database', async () => {
    const { rows } = await askAs({ role: 'jobs' }, (client) => client.query('select name, policy from pgboss.queue'))
    for (const [name, { policy }] of Object.entries(QUEUES)) expect(rows).toContainEqual({ name, policy })
  })
})

afterAll(() => database().$disconnect())
