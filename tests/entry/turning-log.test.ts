import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { ChildProcesses } from '@/lib/entry/child-processes'
import { TurningLog } from '@/lib/entry/turning-log'

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'turning-log-'))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

test('turns over while it is written: few files of limited size, the newest lines kept, for their owner only', () => {
  const file = path.join(folder, 'web.log')
  writeFileSync(file, 'from an earlier start\n', { mode: 0o644 })
  const log = new TurningLog(file, 1000)
  for (let line = 1; line <= 1000; line += 1) log.write(Buffer.from(`line ${line}\n`))
  log.close()
  const files = readdirSync(folder).sort()
  expect(files).toEqual(['web.log', 'web.log.1', 'web.log.2', 'web.log.3'])
  for (const name of files) {
    expect(statSync(path.join(folder, name)).size).toBeLessThanOrEqual(1000)
    expect(statSync(path.join(folder, name)).mode & 0o777).toBe(0o600)
  }
  // Read from the oldest to the newest, the lines go on without a gap to the last.
  const lines = [...files.slice(1).reverse(), 'web.log'].flatMap((name) =>
    readFileSync(path.join(folder, name), 'utf8').trim().split('\n'),
  )
  expect(lines).toEqual(Array.from({ length: lines.length }, (_, index) => `line ${1001 - lines.length + index}`))
})

test('a child writes to it, and all it said is there when it has ended', async () => {
  process.env.TANKROUND_DATA = path.join(folder, 'data')
  try {
    const children = new ChildProcesses()
    const child = children.start(
      'child',
      ['-e', 'for (let i = 0; i < 3000; i++) console.log("said", i); console.error("last")'],
      {},
    )
    expect(await child.exited).toBe(0)
    expect(child.lastLines(2)).toMatch(/said 2999|last/)
    expect(readFileSync(child.logFile, 'utf8').trim().split('\n')).toHaveLength(3001)
    expect(statSync(path.dirname(child.logFile)).mode & 0o777).toBe(0o700)
    // As root Postgres runs as another user, who must be able to walk to its own folder.
    expect(statSync(path.join(folder, 'data')).mode & 0o001).toBe(1)
    expect(existsSync(`${child.logFile}.1`)).toBe(false)
    expect(children).toMatchObject({ stopping: false })
  } finally {
    delete process.env.TANKROUND_DATA
  }
})
