import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'

/** The rule of `biome.json` for `tests/`: here that it sees what it looks for. That nothing there breaks it is held by the check of the whole tree. */
const RULE = path.resolve('tests/house/clock.grit')
const BIOME = path.resolve('node_modules/@biomejs/biome/bin/biome')

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'tankround-clock-'))
  writeFileSync(path.join(folder, 'biome.json'), JSON.stringify({ root: true, plugins: [RULE] }))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

function linesNamed(code: string): number[] {
  writeFileSync(path.join(folder, 'tried.ts'), code)
  const { stdout, stderr } = spawnSync(process.execPath, [BIOME, 'lint', '--max-diagnostics=50', '.'], {
    cwd: folder,
    encoding: 'utf8',
  })
  return [...`${stdout}${stderr}`.matchAll(/tried\.ts:(\d+):\d+ plugin/g)].map(([, line]) => Number(line))
}

test('a test that reads the clock of the machine is named with its line', () => {
  const bad = ['new Date()', 'Date()', 'Date.now()', 'performance.now()', 'Temporal.Now.instant()', 'new Date']
  const code = bad.map((reading, place) => `export const at${place} = ${reading}\n`).join('')
  expect(linesNamed(code)).toEqual(bad.map((_, place) => place + 1))
})

test('an instant that is given, a comment and a text are not', () => {
  const good = ["new Date('2026-11-25')", 'new Date(0)', 'Date.UTC(2026, 10)', "'new Date()'", '1 // Date.now()']
  expect(linesNamed(good.map((code, place) => `export const at${place} = ${code}\n`).join(''))).toEqual([])
})
