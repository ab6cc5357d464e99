import { spawnSync } from 'node:child_process'
import { cpSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'

// A small house with our rules and one file per room: the rules must let it stand, and catch each forbidden import.
const CRUISER = path.resolve('node_modules/dependency-cruiser/bin/dependency-cruise.mjs')

const SOUND = {
  'app/page.tsx': `import { Box } from '@/components/box'\nimport { read } from '@/lib/office/tanks/queries'\nexport const page = [Box, read]\n`,
  'components/box.tsx': `import { schema } from '@/lib/office/tanks/schema'\nexport const Box = schema\n`,
  'lib/entry/start.ts': `import { read } from '@/lib/office/tanks/queries'\nimport { open } from '@/lib/platform/db/open'\nexport const start = [read, open]\n`,
  'lib/office/tanks/schema.ts': `export const schema = 1\n`,
  'lib/office/tanks/queries.ts': `import { care } from '@/lib/trade/care'\nimport { fit } from '@/lib/science/fit'\nimport { open } from '@/lib/platform/db/open'\nexport const read = [care, fit, open]\n`,
  'lib/trade/care.ts': `import { fit } from '@/lib/science/fit'\nexport const care = fit\n`,
  'lib/science/fit.ts': `import { newId } from '@/lib/new-id'\nexport const fit = newId\n`,
  'lib/platform/db/open.ts': `import { readFileSync } from 'node:fs'\nexport const open = readFileSync\n`,
  'lib/new-id.ts': `export const newId = 1\n`,
  'seed/index.ts': `import { read } from '@/lib/office/tanks/queries'\nexport const seed = read\n`,
}

/** What is planted, one fault per file: what it is, the file, what it imports, the rule that must name this file. */
const PLANTED = [
  ['a route that opens the database', 'app/opens.ts', '@/lib/platform/db/open', 'app'],
  ['a route that computes', 'app/computes.ts', '@/lib/science/fit', 'app'],
  ['a route that asks the trade', 'app/asks.ts', '@/lib/trade/care', 'app'],
  ['a component that reads', 'components/reads.tsx', '@/lib/office/tanks/queries', 'components'],
  ['a component that knows a route', 'components/knows.tsx', '@/app/page', 'components'],
  ['an office that knows a component', 'lib/office/tanks/draws.ts', '@/components/box', 'office'],
  ['a trade that knows the office', 'lib/trade/knows.ts', '@/lib/office/tanks/schema', 'trade'],
  ['a science that knows the trade', 'lib/science/knows.ts', '@/lib/trade/care', 'science'],
  ['a platform that knows the office', 'lib/platform/db/knows.ts', '@/lib/office/tanks/schema', 'platform'],
  ['a start that knows a route', 'lib/entry/knows.ts', '@/app/page', 'entry'],
  ['a demo that goes round the office', 'seed/knows.ts', '@/lib/trade/care', 'seed'],
  ['a science that reads files', 'lib/science/reads.ts', 'node:fs', 'pure-rooms-do-no-input-or-output'],
  ['a trade that knows the screen', 'lib/trade/draws.ts', 'react', 'pure-rooms-know-no-framework'],
  ['a broken import', 'lib/science/broken.ts', './not-there', 'no-broken-imports'],
  ['an import of a file in no room', 'lib/office/tanks/strays.ts', '@/lib/stray', 'a-file-in-no-room'],
  ['a circle', 'lib/science/turns.ts', './wheels-back', 'no-circles'],
  [
    'a form that brings the server to the phone',
    'lib/office/tanks/projection.ts',
    './between',
    'pure-office-files-run-on-the-phone',
  ],
] as const

/** What some of the faults need beside them. */
const BESIDE = {
  'lib/stray.ts': 'export const stray = 1\n',
  'lib/science/wheels-back.ts': `import { planted } from './turns'\nexport const back = planted\n`,
  'lib/office/tanks/between.ts': `import { open } from '@/lib/platform/db/open'\nexport const between = open\n`,
}

/** The broken rules of a little house, as `file: rule`. */
function broken(files: Record<string, string>): string[] {
  const house = mkdtempSync(path.join(tmpdir(), 'tankround-house-'))
  try {
    for (const file of ['.dependency-cruiser.cjs', 'tsconfig.json']) cpSync(path.resolve(file), path.join(house, file))
    symlinkSync(path.resolve('node_modules'), path.join(house, 'node_modules'))
    for (const [file, text] of Object.entries({ 'package.json': '{"type":"module"}', ...files })) {
      mkdirSync(path.join(house, path.dirname(file)), { recursive: true })
      writeFileSync(path.join(house, file), text)
    }
    const args = [
      CRUISER,
      '--config',
      '.dependency-cruiser.cjs',
      '--output-type',
      'json',
      'app',
      'components',
      'lib',
      'seed',
    ]
    const { stdout, stderr } = spawnSync(process.execPath, args, { cwd: house, encoding: 'utf8', maxBuffer: 1e8 })
    if (!stdout) throw new Error(stderr)
    const report: { summary: { violations: { from: string; rule: { name: string } }[] } } = JSON.parse(stdout)
    return report.summary.violations.map(({ from, rule }) => `${from}: ${rule.name}`)
  } finally {
    rmSync(house, { recursive: true, force: true })
  }
}

describe('the rooms', () => {
  test('a house that keeps the rules stands', () => {
    expect(broken(SOUND)).toEqual([])
  })

  describe('the rules catch', () => {
    let found: string[] = []
    beforeAll(() => {
      const planted = PLANTED.map(([, file, imported]) => [
        file,
        `import * as planted from '${imported}'\nexport { planted }\n`,
      ])
      found = broken({ ...SOUND, ...BESIDE, ...Object.fromEntries(planted) })
    })

    test.each(PLANTED)('%s', (_what, file, _imported, rule) => {
      expect(found).toContain(`${file}: ${rule}`)
    })
  })
})
