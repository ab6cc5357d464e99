import { readdirSync, readFileSync } from 'node:fs'
import path from 'node:path'
import { describe, expect, test } from 'vitest'

/** What is not ours or is made by a program. */
const NOT_OURS = new Set(['node_modules', 'generated', 'coverage', 'test-results'])

const TOP_LEVEL_FOLDERS = ['app', 'components', 'docs', 'lib', 'prisma', 'public', 'seed', 'tests']
const ROOMS = ['entry', 'office', 'platform', 'science', 'trade']
const LONGEST_FILE_LINES = 320

function ourFiles(folder = '.'): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    if (entry.name.startsWith('.') || NOT_OURS.has(entry.name)) return []
    const file = path.join(folder, entry.name)
    return entry.isDirectory() ? ourFiles(file) : [file]
  })
}

const files = ourFiles()
const sources = files.filter(
  (file) => /\.(ts|tsx|mjs|cjs|css|sql|prisma|md|json)$/.test(file) && !/package-lock/.test(file),
)

describe('the files of the house', () => {
  test('the top level holds the folders of the design only', () => {
    const folders = readdirSync('.', { withFileTypes: true })
      .filter((entry) => entry.isDirectory() && !entry.name.startsWith('.') && !NOT_OURS.has(entry.name))
      .map((entry) => entry.name)
    expect(folders.filter((folder) => !TOP_LEVEL_FOLDERS.includes(folder))).toEqual([])
  })

  test('lib holds the five rooms and new-id.ts', () => {
    const entries = readdirSync('lib').filter((name) => !ROOMS.includes(name))
    expect(entries).toEqual(['new-id.ts'])
  })

  test(`no file of app, components or lib is longer than ${LONGEST_FILE_LINES} lines`, () => {
    const long = files
      .filter((file) => /^(app|components|lib)\/.*\.tsx?$/.test(file))
      .map((file) => ({ file, lines: readFileSync(file, 'utf8').split('\n').length - 1 }))
      .filter(({ lines }) => lines > LONGEST_FILE_LINES)
    expect(long).toEqual([])
  })

  test('every name says what is inside, in lower case with hyphens', () => {
    const code = files.filter((file) => /^(app|components|lib|seed|tests)\/.*\.(ts|tsx|mjs|css)$/.test(file))
    expect(code.filter((file) => /(^|[/.-])(utils?|helpers?|common|misc)[/.-]/.test(file))).toEqual([])
    expect(code.map((file) => path.basename(file)).filter((name) => !/^[a-z0-9]+([.-][a-z0-9]+)*$/.test(name))).toEqual(
      [],
    )
  })

  test('no file names a place on one machine', () => {
    const place = new RegExp(['(?<![\\w.])/(work', 'farm', 'root', 'home/[a-z]+', 'Users/[A-Za-z]+)/'].join('|'))
    expect(sources.filter((file) => place.test(readFileSync(file, 'utf8')))).toEqual([])
  })
})

describe('the science and the trade are pure', () => {
  // A program's clock, chance, surroundings and network are arguments there, never taken.
  const IMPURE = [
    /\bDate\.now\b/,
    /\bnew Date\(\s*\)/,
    /\bMath\.random\b/,
    /\bprocess\./,
    /\bfetch\(/,
    /\bperformance\.now\b/,
    /\bcrypto\./,
  ]

  test.each(['lib/science', 'lib/trade'])('%s', (room) => {
    const impure = files
      .filter((file) => file.startsWith(`${room}/`) && /\.ts$/.test(file))
      .flatMap((file) => {
        const code = withoutComments(readFileSync(file, 'utf8'))
        return IMPURE.filter((pattern) => pattern.test(code)).map((pattern) => `${file}: ${pattern.source}`)
      })
    expect(impure).toEqual([])
  })

  test('the check sees what it looks for', () => {
    const found = (code: string) => IMPURE.some((pattern) => pattern.test(withoutComments(code)))
    for (const bad of ['const t = Date.now()', 'new Date()', 'x * Math.random()', 'process.env.X', 'await fetch(url)'])
      expect(found(bad)).toBe(true)
    for (const good of ['new Date(day)', '// never Math.random()', '/** no Date.now */', 'reprocess(x)'])
      expect(found(good)).toBe(false)
  })
})

function withoutComments(code: string): string {
  return code.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|[^:])\/\/.*$/gm, '$1')
}
