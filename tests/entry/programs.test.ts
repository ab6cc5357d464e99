import { spawnSync } from 'node:child_process'
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { builtinModules } from 'node:module'
import path from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { compilePrograms, PROGRAMS } from '@/lib/entry/compile-programs.mjs'
import { filesBelow } from '@/lib/entry/sources.mjs'

const manifest = z
  .object({ scripts: z.record(z.string(), z.string()), dependencies: z.record(z.string(), z.string()) })
  .parse(JSON.parse(readFileSync('package.json', 'utf8')))

/** What only makes programs: nothing of it may run in production. */
const TOOLS = ['prisma', 'typescript', 'esbuild', 'tsx']

let folder = ''
beforeAll(async () => {
  folder = await compilePrograms()
})

/** The packages that the compiled files import, each with one file that does. */
function importedPackages(): Map<string, string> {
  const found = new Map<string, string>()
  for (const file of readdirSync(folder).filter((name) => name.endsWith('.js'))) {
    const code = readFileSync(path.join(folder, file), 'utf8')
    const imports = /^\s*(?:import|export)\b[^'"]*["']([^'"]+)["'];?$|\bimport\(["']([^'"]+)["']\)/gm
    for (const [, stated, asked] of code.matchAll(imports)) {
      const from = stated ?? asked ?? ''
      if (from.startsWith('.') || from.startsWith('node:') || builtinModules.includes(from)) continue
      found.set(from.split('/', from.startsWith('@') ? 2 : 1).join('/'), file)
    }
  }
  return found
}

describe('the compiled programs', () => {
  test('each command line of package.json is one of them', () => {
    const called = Object.values(manifest.scripts).flatMap(
      (script) => /^node lib\/entry\/run\.mjs (\S+)/.exec(script)?.[1] ?? [],
    )
    expect(called.length).toBeGreaterThan(10)
    expect(called.filter((name) => !PROGRAMS.includes(name))).toEqual([])
    expect(PROGRAMS.filter((name) => !existsSync(path.join(folder, `${name}.js`)))).toEqual([])
  })

  test('every file of lib/entry that runs by itself is one of them', () => {
    const begins = filesBelow(['lib/entry']).filter(
      (file) => file.endsWith('.ts') && /^await runCommand\(/m.test(readFileSync(file, 'utf8')),
    )
    expect(begins.map((file) => path.basename(file, '.ts')).filter((name) => !PROGRAMS.includes(name))).toEqual([])
  })

  test('import only packages that a machine without the tools of development has, and no compiler', () => {
    const imported = importedPackages()
    expect([...imported.keys()]).toEqual(expect.arrayContaining(['pg', 'zod', '@prisma/adapter-pg', 'pg-boss']))
    // `npm test` finds or installs a browser by itself, with a tool of development.
    expect(imported.get('playwright-core')).toBe('test.js')
    imported.delete('playwright-core')
    expect([...imported].filter(([name]) => !(name in manifest.dependencies))).toEqual([])
    expect([...imported].filter(([name]) => TOOLS.includes(name))).toEqual([])
  })

  test('each thread that is started is there', () => {
    const started = filesBelow(['lib']).flatMap((file) =>
      [...readFileSync(file, 'utf8').matchAll(/startThread(?:<[^(]*>)?\(\s*'([^']+)'/g)].map(([, name]) => name),
    )
    expect(started.length).toBeGreaterThan(1)
    expect(started.filter((name) => !existsSync(path.join(folder, `${name}.js`)))).toEqual([])
  })

  test('run by plain Node, and say what is wrong in one line', () => {
    const { status, stderr } = spawnSync(process.execPath, [path.join(folder, 'worker.js')], {
      encoding: 'utf8',
      env: { PATH: process.env.PATH, NODE_ENV: 'production' },
    })
    expect(stderr).toBe('APP_DATABASE_URL is not set; "npm start" starts the worker and sets it.\n')
    expect(status).toBe(1)
  })

  test('an unknown one is refused, naming those there are', () => {
    const { status, stderr } = spawnSync(process.execPath, ['lib/entry/run.mjs', 'no-such-program'], {
      encoding: 'utf8',
    })
    expect(stderr).toMatch(/There is no program “no-such-program”\. There are: .*start, .*worker/)
    expect(status).toBe(1)
  })
})
