import { readdirSync } from 'node:fs'
import path from 'node:path'
import { expect, test } from 'vitest'
import { z } from 'zod'

/**
 * Every schema of the office takes in only what can be kept and has an end. Common practice, no source: NUL is the one character that a
 * Postgres text cannot hold (PostgreSQL manual, "Character Types"), a lone surrogate has no UTF-8.
 */
const root = path.join(import.meta.dirname, '../../lib/office')
const NEVER = ['a\u0000', '\u0000', 'a\ud800', '\udc00b']
/** Formats that have a length of their own. */
const SHORT_FORMATS = new Set(['uuid', 'date', 'time', 'datetime'])
/** An `integer` column ends at 2,147,483,647; amounts and litres are smaller still. */
const LARGEST = 1e10

type Found = { at: string; schema: z.ZodType }

const exported: Found[] = []
for (const room of readdirSync(root)) {
  const file = path.join(root, room, 'schema.ts')
  const module: Record<string, unknown> = await import(file).catch((error: Error & { code?: string }) => {
    if (String(error).includes('schema.ts') && /Cannot find|does not exist|ENOENT|Failed to load/.test(String(error)))
      return {}
    throw error
  })
  for (const [name, value] of Object.entries(module))
    if (value instanceof z.ZodType) exported.push({ at: `${room}.${name}`, schema: value })
}

/** What a schema is made of, each part with the path to it. */
function partsOf({ at, schema }: Found, seen = new Set<z.ZodType>()): Found[] {
  if (seen.has(schema)) return []
  seen.add(schema)
  const inner = (name: string, part: unknown): Found[] =>
    part instanceof z.ZodType ? partsOf({ at: `${at}.${name}`, schema: part }, seen) : []
  const parts: Record<string, unknown> = { ...schema.def }
  const { shape, options, element, innerType, in: from, out: to, keyType, valueType, catchall } = parts
  return [
    { at, schema },
    ...Object.entries((shape ?? {}) as object).flatMap(([name, part]) => inner(name, part)),
    ...((options ?? []) as unknown[]).flatMap((part, index) => inner(String(index), part)),
    ...[element, innerType, from, to, keyType, valueType, catchall].flatMap((part) => inner('', part)),
  ]
}

const parts = exported.flatMap((found) => partsOf(found))
const only = <Kind extends z.ZodType>(kind: abstract new (...given: never[]) => Kind) =>
  parts.filter((found): found is { at: string; schema: Kind } => found.schema instanceof kind)
const faults = (found: Found[]) => [...new Set(found.map(({ at }) => at))]

test('the schemas are found', () => {
  expect(exported.length).toBeGreaterThan(70)
  expect(only(z.ZodString).length).toBeGreaterThan(150)
})

test('every text has a maximum', () => {
  const endless = only(z.ZodString).filter(
    ({ schema }) => schema.maxLength === null && !SHORT_FORMATS.has(schema.format ?? ''),
  )
  expect(faults(endless)).toEqual([])
})

test('no text takes a character that cannot be kept', () => {
  const open = only(z.ZodString).filter(({ schema }) => NEVER.some((text) => schema.safeParse(text).success))
  expect(faults(open)).toEqual([])
})

test('every number has two ends that a column holds', () => {
  const open = only(z.ZodNumber).filter(
    ({ schema }) => !((schema.minValue ?? -Infinity) > -LARGEST && (schema.maxValue ?? Infinity) < LARGEST),
  )
  expect(faults(open)).toEqual([])
})

test('every list has a maximum', () => {
  const open = only(z.ZodArray).filter(
    ({ schema }) => !schema.def.checks?.some((check) => check._zod.def.check === 'max_length'),
  )
  expect(faults(open)).toEqual([])
})

test('no record takes ten thousand entries', () => {
  const values = ['', {}, [], null, 0]
  const open = only(z.ZodRecord).filter(({ schema }) =>
    values.some((value) => {
      const entries = Array.from({ length: 10_000 }, (_, index) => [`a${index}`, value])
      return schema.safeParse(Object.fromEntries(entries)).success
    }),
  )
  expect(faults(open)).toEqual([])
})

test('no day and no instant lies outside two centuries', () => {
  const days = only(z.ZodString).filter(
    ({ schema }) =>
      ['date', 'datetime'].includes(schema.format ?? '') &&
      ['0001-01-01', '9999-12-31', '0001-01-01T00:00:00Z', '9999-12-31T00:00:00Z'].some(
        (day) => schema.safeParse(day).success,
      ),
  )
  expect(faults(days)).toEqual([])
})
