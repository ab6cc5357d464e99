// Words that a British tradesperson does not use for these things stand nowhere in code, screens, seed and documents: the former spellings live in one
// map, the American words in one table, what people write in their old files in the importer's lists. Which words: common practice, no source.
import { readdirSync, readFileSync, statSync } from 'node:fs'
import { describe, expect, test } from 'vitest'

const ROOMS = ['app', 'components', 'lib', 'seed', 'docs', 'prisma/schema.prisma', 'README.md', 'DEVELOPERS.md']
/** Whose business these words are. */
const MAY_SAY = new Set([
  'lib/trade/catalogue/formerly.ts',
  'lib/trade/trade-words.ts',
  'lib/office/old-records/class-words.ts',
  'lib/office/old-records/kind-words.ts',
  'docs/decisions/0026-words-of-the-trade.md',
])

const BANNED: Readonly<Record<string, RegExp>> = {
  'impeller, not rotor': /rotor/i,
  'air silencer, not muffler': /muffler/i,
  'auto top-up, not top-off': /\btop-?\s?off\b/i,
  'external filter, not canister': /canister/i,
  'cylinder or container, not bottle': /bottle/i,
  'fuse board or isolator, not breaker': /(?<!line )breaker/i,
  'impeller housing, not well': /\b(?:the|and|magnet|impeller) well\b(?! (?:as|known|enough|fed))/i,
  'external filter, not outside filter': /outside filter/i,
  'a tank is taken on, not over': /take over (?:a|this|the) tank/i,
  'fixed, not cured': /\bcured\?/i,
  'freshwater community, not fresh community': /\bfresh[- ]community\b/i,
}

function filesOf(room: string): string[] {
  if (statSync(room).isFile()) return [room]
  return readdirSync(room, { recursive: true, encoding: 'utf8' }).map((file) => `${room}/${file}`)
}

function linesOf(file: string): string[] {
  return readFileSync(file, 'utf8').split('\n')
}

describe('trade words', () => {
  const files = ROOMS.flatMap(filesOf).filter(
    (file) => /\.(?:tsx?|mjs|md|css|prisma)$/.test(file) && !MAY_SAY.has(file),
  )

  test('there is something to look at', () => expect(files.length).toBeGreaterThan(500))
  test.each(Object.entries(BANNED))('%s', (_, banned) => {
    const found = files.flatMap((file) =>
      linesOf(file).flatMap((line, place) => (banned.test(line) ? [`${file}:${place + 1}: ${line.trim()}`] : [])),
    )
    expect(found).toEqual([])
  })
  test('a word that is banned is found', () => {
    const said = [
      'Fit a new rotor set',
      'brush magnet and well',
      'Auto top-off',
      'The CO2 bottle',
      'Breaker',
      'as well as',
    ]
    expect(said.map((line) => Object.values(BANNED).filter((banned) => banned.test(line)).length)).toEqual([
      1, 1, 1, 1, 1, 0,
    ])
  })
})
