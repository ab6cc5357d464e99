import { chmodSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { Client } from 'pg'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { canBeWalkedByOthers, findServerPlace } from '@/lib/platform/db/embedded-place'
import { startEmbeddedPostgres } from '@/lib/platform/db/embedded-postgres'

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'tankround-embedded-'))
  chmodSync(folder, 0o755)
})
afterAll(() => {
  rmSync(findServerPlace(folder).data, { recursive: true, force: true })
  rmSync(folder, { recursive: true, force: true })
})

async function ask(url: string, sql: string): Promise<Record<string, unknown>[]> {
  const client = new Client({ connectionString: url })
  await client.connect()
  try {
    return (await client.query(sql)).rows
  } finally {
    await client.end()
  }
}

describe('the embedded Postgres', () => {
  test('keeps its data, its password and its port over a stop and a start', async () => {
    const first = await startEmbeddedPostgres(folder, { throwAway: 'yes' })
    await ask(first.ownerUrl, 'create table kept as select 42 as answer')
    await first.stop()
    const second = await startEmbeddedPostgres(folder, { throwAway: 'yes' })
    try {
      expect(second.ownerUrl).toBe(first.ownerUrl)
      expect(await ask(second.ownerUrl, 'select answer from kept')).toEqual([{ answer: 42 }])
    } finally {
      await second.stop()
    }
  })

  test('is joined while it runs, and stops with its last user', async () => {
    const first = await startEmbeddedPostgres(folder, { throwAway: 'yes' })
    const second = await startEmbeddedPostgres(folder, { throwAway: 'yes' })
    expect(second.port).toBe(first.port)
    await first.stop()
    expect(await ask(second.ownerUrl, 'select 1 as one')).toEqual([{ one: 1 }])
    await second.stop()
    await expect(ask(second.ownerUrl, 'select 1')).rejects.toThrow(/ECONNREFUSED/)
  })

  test('listens on the loopback address only, and its owner is no superuser', async () => {
    const server = await startEmbeddedPostgres(folder, { throwAway: 'yes' })
    try {
      const [row] = await ask(
        server.ownerUrl,
        `select current_setting('listen_addresses') as address, rolsuper, rolbypassrls
           from pg_roles where rolname = current_user`,
      )
      expect(row).toEqual({ address: '127.0.0.1', rolsuper: false, rolbypassrls: false })
      expect(statSync(path.join(folder, 'postgres.json')).mode & 0o777).toBe(0o600)
    } finally {
      await server.stop()
    }
  })

  test('moves to another port when a stranger took its own', async () => {
    const before = await startEmbeddedPostgres(folder, { throwAway: 'yes' })
    await before.stop()
    const stranger = createServer()
    await new Promise<void>((resolve) => stranger.listen(before.port, '127.0.0.1', () => resolve()))
    try {
      const after = await startEmbeddedPostgres(folder, { throwAway: 'yes' })
      expect(after.port).not.toBe(before.port)
      expect(await ask(after.ownerUrl, 'select answer from kept')).toEqual([{ answer: 42 }])
      await after.stop()
    } finally {
      await new Promise((resolve) => stranger.close(resolve))
    }
  })

  test('refuses in words data that a newer Postgres wrote, and leaves it alone', async () => {
    const version = path.join(findServerPlace(folder).data, 'PG_VERSION')
    const ours = readFileSync(version, 'utf8')
    writeFileSync(version, '99\n')
    try {
      await expect(startEmbeddedPostgres(folder, { throwAway: 'yes' })).rejects.toThrow(
        /was written by a newer Postgres \(99\)/,
      )
    } finally {
      writeFileSync(version, ours)
    }
  })

  test('a start that was killed half-way does not keep others out', async () => {
    writeFileSync(path.join(folder, 'postgres.lock'), '999999999') // no process has this number
    const server = await startEmbeddedPostgres(folder, { throwAway: 'yes' })
    await server.stop()
  })

  test('as root, the data of a closed folder lies where the user who runs Postgres can walk', () => {
    const closed = path.join(folder, 'closed')
    mkdirSync(closed, { mode: 0o700 })
    expect(canBeWalkedByOthers(folder)).toBe(true)
    expect(canBeWalkedByOthers(closed)).toBe(false)
    const { data } = findServerPlace(closed)
    const isRoot = process.getuid?.() === 0
    expect(data.startsWith(closed)).toBe(!isRoot)
  })
})
