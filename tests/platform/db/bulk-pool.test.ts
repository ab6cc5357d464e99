import { beforeAll, expect, test } from 'vitest'
import { bulkPool } from '@/lib/platform/db/bulk-pool'
import { testDatabase } from '../../setup/database'

beforeAll(async () => {
  await testDatabase()
})

test('a connection that breaks between two questions fails the next one, and does not end the program', async () => {
  const [mine, other] = [await bulkPool().connect(), await bulkPool().connect()]
  const { rows } = await mine.query<{ pid: number }>('select pg_backend_pid() as pid')
  const ended = new Promise((resolve) => mine.once('end', resolve))
  await other.query('select pg_terminate_backend($1)', [rows[0]?.pid])
  await ended
  await expect(mine.query('select 1')).rejects.toThrow()
  mine.release(true)
  other.release()
  const { rows: after } = await bulkPool().query<{ one: number }>('select 1 as one')
  expect(after).toEqual([{ one: 1 }])
})
