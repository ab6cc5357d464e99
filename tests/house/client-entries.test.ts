// What goes to the phone: every file that says 'use client' is bundled as a browser gets it (esbuild, minified, without React and Next, which every
// page has anyway) and weighed compressed. Barrels are for the server: one import of them brought the whole trade and all statistics to a form.
import { readdirSync, readFileSync } from 'node:fs'
import path from 'node:path'
import { gzipSync } from 'node:zlib'
import { build } from 'esbuild'
import { beforeAll, describe, expect, test } from 'vitest'

/** The heaviest are forms with money: react-hook-form, zod by namespace and exact decimals together are about 60 kB. */
const MOST_KB = 64
/** The projection of a visit runs on the phone too; not a form, but shared with it. */
const SHARED = ['lib/office/visits/projection.ts']
const BARRELS = ['lib/trade/index.ts', 'lib/science/index.ts']

type Weighed = { file: string; kB: number; inputs: string[] }

const entries = ['app', 'components']
  .flatMap((room) => readdirSync(room, { recursive: true, encoding: 'utf8' }).map((file) => path.join(room, file)))
  .filter((file) => /\.tsx?$/.test(file) && /^['"]use client['"]/m.test(readFileSync(file, 'utf8')))
  .concat(SHARED)

async function weigh(file: string): Promise<Weighed> {
  const { outputFiles, metafile } = await build({
    entryPoints: [file],
    ...{ bundle: true, write: false, metafile: true, minify: true, logLevel: 'silent' },
    ...{ format: 'esm', platform: 'browser', target: 'es2022', jsx: 'automatic', outdir: 'out' },
    external: ['react', 'react-dom', 'react/*', 'next/*'],
    alias: { '@': process.cwd() },
    loader: { '.css': 'empty' },
    define: { 'process.env.NODE_ENV': '"production"' },
  })
  const script = outputFiles.find((one) => one.path.endsWith('.js'))
  if (!script) throw new Error(`${file} makes no script`)
  return { file, kB: gzipSync(script.contents).length / 1000, inputs: Object.keys(metafile.inputs) }
}

describe('what a client entry pulls', () => {
  let weighed: Weighed[]
  beforeAll(async () => {
    weighed = await Promise.all(entries.map(weigh))
  })

  test('there are forms to weigh', () => {
    expect(weighed.length).toBeGreaterThan(40)
    expect(Math.max(...weighed.map(({ kB }) => kB))).toBeGreaterThan(10)
  })
  test(`no entry is heavier than ${MOST_KB} kB compressed`, () => {
    const heavy = weighed.filter(({ kB }) => kB > MOST_KB).map(({ file, kB }) => `${file}: ${kB.toFixed(1)} kB`)
    expect(heavy).toEqual([])
  })
  test('no entry imports a barrel of the trade or of the science', () => {
    const pulls = weighed.flatMap(({ file, inputs }) =>
      inputs.filter((input) => BARRELS.includes(input)).map((barrel) => `${file} pulls ${barrel}`),
    )
    expect(pulls).toEqual([])
  })
  test('zod comes by namespace: the named object brings all its languages along', () => {
    const named = weighed.flatMap(({ inputs }) =>
      inputs.filter(
        (input) =>
          /^(?:app|components|lib)\//.test(input) &&
          /import \{[^}]*\bz\b[^}]*\} from 'zod'/.test(readFileSync(input, 'utf8')),
      ),
    )
    expect([...new Set(named)]).toEqual([])
  })
})
