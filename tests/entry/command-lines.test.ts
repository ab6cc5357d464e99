import { execFile } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'

// What a command line does with --help and with an option it does not know: POSIX.1-2017, Utility Conventions 12.2, and the GNU
// coding standards, 4.8 (--help prints to standard output and exits with 0, doing nothing else).

const empty = mkdtempSync(path.join(tmpdir(), 'command-lines-'))
afterAll(() => rmSync(empty, { recursive: true, force: true }))

/** Every script of package.json that starts one of our own entries. */
const scripts: Record<string, string> = JSON.parse(readFileSync('package.json', 'utf8')).scripts
const commands = Object.keys(scripts).filter((name) => /lib\/entry\/run\.mjs/.test(scripts[name] ?? ''))

describe('every command line', () => {
  test('is one of those that are tried', () => {
    // An entry that a person can start says how in its help; the web server and the worker are started by `npm start` only.
    const entries = readdirSync('lib/entry').filter((name) => name.endsWith('.ts'))
    const started = entries.filter((name) =>
      /^await runCommand\(/m.test(readFileSync(path.join('lib/entry', name), 'utf8')),
    )
    const withHelp = entries.filter((name) =>
      readFileSync(path.join('lib/entry', name), 'utf8').includes('usage: USAGE'),
    )
    expect(started.filter((name) => !withHelp.includes(name))).toEqual(['web.ts', 'worker.ts'])
    expect(commands.length).toBeGreaterThanOrEqual(withHelp.length)
  })

  test.each(commands)('%s: --help says what it does and does nothing', async (name) => {
    const { code, output, errors } = await run(name, ['--help'])
    expect(errors).toBe('')
    expect(code).toBe(0)
    expect(output).toMatch(/npm (run |test|start)/)
    expect(readdirSync(empty)).toEqual([])
  })

  test.each(commands)('%s: an option it does not know is refused in words, and nothing is done', async (name) => {
    const { code, output, errors } = await run(name, ['--nonsense'])
    expect(code).toBe(1)
    expect(errors).toMatch(/^Unknown option '--nonsense'\.\n\n/)
    expect(errors).toMatch(/npm (run |test|start)/)
    expect(errors).not.toMatch(/ {4}at /) // no stack
    expect(output).toBe('')
    expect(readdirSync(empty)).toEqual([])
    for (const file of ['--help', '--nonsense']) expect(existsSync(file)).toBe(false)
  })
})

/** Runs a script of package.json as npm would, but for npm itself; all data would go to an empty folder. */
function run(name: string, args: string[]): Promise<{ code: number; output: string; errors: string }> {
  const [program = '', ...words] = (scripts[name] ?? '').split(' ')
  const known = program === 'node' ? process.execPath : path.join('node_modules', '.bin', program)
  const { DATABASE_URL: _, VITEST: __, ...env } = process.env
  return new Promise((resolve) => {
    execFile(
      known,
      [...words, ...args],
      { timeout: 20_000, env: { ...env, NODE_ENV: 'production', TANKROUND_DATA: path.join(empty, 'data') } },
      (error, output, errors) => resolve({ code: error ? Number(error.code ?? -1) : 0, output, errors }),
    )
  })
}
