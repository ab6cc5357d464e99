import { spawn } from 'node:child_process'
import path from 'node:path'
import { createInterface } from 'node:readline'
import { expect } from 'vitest'
import { newId } from '@/lib/new-id'
import { restoreBackup, writeBackup } from '@/lib/platform/backup'
import { inScope } from '@/lib/platform/db/scope'
import { folderStore, isWhole } from '@/lib/platform/files/file-store'
import { testDatabase } from '../../setup/database'
import { anotherDatabase, asOwner, dropDatabase, urlsOf } from '../../setup/more-databases'
import { SeededRandom } from '../../simulation/random'
import { checksums } from './compare-databases'

/**
 * Kills the restore command this many times, each at another moment (the line it last said, and a seeded delay), and looks after each that
 * the database is either as empty as it was or wholly the new one, with every file; where it was empty, that another try succeeds.
 * Answers how often it was which.
 */
export async function killRestores(
  folder: string,
  { kills, seed }: { kills: number; seed: number },
): Promise<{ old: number; whole: number; lines: number }> {
  const file = await writeSmallBackup(folder)
  const wanted = await checksums((await testDatabase()).ownerUrl)
  const random = new SeededRandom(seed)
  const first = await restoreCommand(await anotherDatabase('bare'), path.join(folder, 'files-0'), file, null)
  expect(first.code).toBe(0)
  const count = { old: 0, whole: 0, lines: first.lines }
  for (let kill = 1; kill <= kills; kill += 1) {
    // Every moment from the first line to the last has its turn; the last ones lie after the commit.
    const line = Math.min(first.lines, 1 + Math.floor(((kill - 1) * first.lines) / Math.max(1, kills - 1)))
    const url = await anotherDatabase('bare')
    const filesFolder = path.join(folder, `files-${kill}`)
    const killed = await restoreCommand(url, filesFolder, file, {
      line,
      delayMs: line === first.lines ? random.integer(0, 400) : random.integer(0, 30),
    })
    await untilNobodyIsConnected(url)
    const now = await checksums(url)
    const isOld = now.every((table) => table.rows === 0)
    expect(isOld || killed.code === 0 || now.length > 0).toBe(true)
    if (isOld) {
      count.old += 1
      await restoreBackup({ ownerUrl: url, filesFolder, file })
    } else count.whole += 1
    expect(await checksums(url), `killed ${line} lines on`).toEqual(wanted)
    expect(await filesThat(filesFolder)).toEqual({ whole: FILES, broken: 0 })
    await dropDatabase(url)
  }
  return count
}

const FILES = 40

async function writeSmallBackup(folder: string): Promise<string> {
  const { ownerUrl } = await testDatabase()
  const businessId = newId()
  await inScope({ role: 'office', businessId, personId: newId() }, async (tx) => {
    await tx.business.create({ data: { id: businessId, name: 'Small' } })
    await tx.client.createMany({
      data: Array.from({ length: 3000 }, (_, n) => ({
        businessId,
        id: newId(),
        name: `${n} ${'A long name. '.repeat(30)}`,
      })),
    })
  })
  const files = folderStore(path.join(folder, 'files'))
  for (let n = 0; n < FILES; n += 1) await files.put(businessId, Buffer.alloc(20_000, `photo ${n} `))
  const file = path.join(folder, 'backup', 'small.tar.gz')
  await writeBackup({ ownerUrl, files, file, now: new Date('2026-11-29T02:40:00Z') })
  return file
}

/** Runs the command as a person would; ends it hard when it has said so many lines and some time has passed. */
function restoreCommand(
  url: string,
  filesFolder: string,
  file: string,
  kill: { line: number; delayMs: number } | null,
): Promise<{ code: number | null; lines: number }> {
  const urls = urlsOf(url)
  const child = spawn(process.execPath, ['lib/entry/run.mjs', 'restore', file], {
    stdio: ['ignore', 'ignore', 'pipe'],
    env: {
      ...process.env,
      DATABASE_URL: url,
      APP_DATABASE_URL: urls.appUrl,
      IDENTITY_DATABASE_URL: urls.identityUrl,
      TANKROUND_FILES: filesFolder,
      TANKROUND_DATA: path.join(path.dirname(filesFolder), 'data'),
    },
  })
  let lines = 0
  createInterface({ input: child.stderr }).on('line', () => {
    lines += 1
    if (lines === kill?.line) setTimeout(() => child.kill('SIGKILL'), kill.delayMs)
  })
  return new Promise((resolve) => child.once('close', (code) => resolve({ code, lines })))
}

/** The server notices in its own time that the other side is gone. */
async function untilNobodyIsConnected(url: string): Promise<void> {
  await asOwner(url, async (client) => {
    for (;;) {
      const { rowCount } = await client.query(
        'select 1 from pg_stat_activity where datname = current_database() and pid <> pg_backend_pid() and backend_type = $1',
        ['client backend'],
      )
      if (rowCount === 0) return
      await new Promise((resolve) => setTimeout(resolve, 20))
    }
  })
}

async function filesThat(folder: string): Promise<{ whole: number; broken: number }> {
  const store = folderStore(folder)
  const count = { whole: 0, broken: 0 }
  for await (const one of store.list())
    if (await isWhole(store, one)) count.whole += 1
    else count.broken += 1
  return count
}
