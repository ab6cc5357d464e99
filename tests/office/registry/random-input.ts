import * as z from 'zod'
import { SeededRandom } from '../../simulation/random'

/** Inputs made from the schemas themselves, and the same with something wrong in them. Seeded: the same numbers, the same inputs. */

export type Random = () => number

export function randomFrom(seed: number): Random {
  const generator = new SeededRandom(seed)
  return () => generator.next()
}

export const pick = <Item>(random: Random, items: readonly Item[]): Item =>
  items[Math.floor(random() * items.length)] as Item

/** Ids that a field of this name may hold: mostly rows of the right table, at times another's, another business's or nobody's. */
export type Ids = (field: string) => string

/** A value that the schema may well accept; rules between fields are left to luck. */
export function inputOf(schema: z.ZodType, random: Random, ids: Ids, field = ''): unknown {
  const of = (part: unknown, name = field) => inputOf(part as z.ZodType, random, ids, name)
  if (schema instanceof z.ZodObject)
    return Object.fromEntries(Object.entries(schema.def.shape).map(([name, part]) => [name, of(part, name)]))
  if (schema instanceof z.ZodOptional) return random() < 0.3 ? undefined : of(schema.def.innerType)
  if (schema instanceof z.ZodNullable) return random() < 0.3 ? null : of(schema.def.innerType)
  if (schema instanceof z.ZodDefault || schema instanceof z.ZodCatch) return of(schema.def.innerType)
  // What a preprocessing reads is what comes out of it; what a transformation reads is what goes in.
  if (schema instanceof z.ZodPipe)
    return of(
      (schema.def.in as z.ZodType) instanceof z.ZodTransform || schema.def.out instanceof z.ZodEnum
        ? schema.def.out
        : schema.def.in,
    )
  if (schema instanceof z.ZodUnion) return of(pick(random, schema.def.options))
  if (schema instanceof z.ZodArray)
    return Array.from({ length: 1 + Math.floor(random() * 3) }, () => of(schema.def.element, field.replace(/s$/, '')))
  if (schema instanceof z.ZodRecord) return {}
  if (schema instanceof z.ZodEnum) return pick(random, schema.options)
  if (schema instanceof z.ZodLiteral) return pick(random, [...schema.values])
  if (schema instanceof z.ZodBoolean) return random() < 0.5
  if (schema instanceof z.ZodNumber) {
    const [least, most] = [Math.max(schema.minValue ?? 0, -50), Math.min(schema.maxValue ?? 50, 5000)]
    const value = least + random() * (most - least)
    return schema.format?.includes('int') ? Math.round(value) : Math.round(value * 1000) / 1000
  }
  if (schema.type === 'string') return textOf(schema as z.ZodString, random, ids, field)
  return null
}

function textOf(schema: z.ZodString, random: Random, ids: Ids, field: string): string {
  if (schema.format === 'uuid') return ids(field)
  const day = `2026-${String(1 + Math.floor(random() * 12)).padStart(2, '0')}-${String(1 + Math.floor(random() * 28)).padStart(2, '0')}`
  if (schema.format === 'date') return day
  if (schema.format === 'datetime') return `${day}T10:00:00Z`
  if (schema.format === 'time') return pick(random, ['08:00', '17:00'])
  if (schema.format === 'email') return `${field}${Math.floor(random() * 1000)}@example.org`
  if (/[cC]lass$/.test(field)) return pick(random, ['heater', 'protein-skimmer', 'return-pump', '*'])
  if (/mode$/i.test(field)) return pick(random, ['heater/reads-off', 'protein-skimmer/wheel-clogged', ''])
  if (/task$/i.test(field)) return pick(random, ['heater/replace', 'protein-skimmer/clear-wheel'])
  if (field === 'unit') return pick(random, ['piece', 'L', 'mL', 'g', 'kg'])
  if (field === 'capacity') return '25'
  const words = [
    ...['Pump tube', 'x', '', 'GBP', 'GB', '12', '12.50', '0', '2026-11', 'Europe/London', 'en-GB', '95', '20', 'd'],
    ...['piece', 'L', 'mL', 'g', 'kg', '08:00', '17:00', 'ab'.repeat(32)],
  ]
  return pick(random, [...words.filter((word) => schema.safeParse(word).success), 'Pump tube', '12'])
}

const deep = () => {
  let value: unknown = 'end'
  for (let depth = 0; depth < 500; depth++) value = [value]
  return value
}

/** What no form sends. A number that is none arrives as null, and `__proto__` as a key of its own, as JSON reads them. */
const NASTY: readonly ((random: Random) => unknown)[] = [
  ...[undefined, null, '', ' ', 0, -1, 1.5, 1e308, -1e308, 2 ** 53, 99_999_999_999, true, false].map(
    (value) => () => value,
  ),
  ...[
    '\u0000',
    'a\u0000b',
    '\ud800',
    'b\udc00',
    '0001-01-01',
    '9999-12-31',
    '-0',
    '1e999',
    '٣',
    "'; DROP TABLE tank; --",
    '%',
    '\\',
  ].map((value) => () => value),
  ...['0001-01-01T00:00:00Z', '9999-12-31T23:59:59Z', '00000000-0000-0000-0000-000000000000', 'NaN', 'Infinity'].map(
    (value) => () => value,
  ),
  () => 'x'.repeat(1_000_000),
  () => '9'.repeat(1000),
  () => Array.from({ length: 10_000 }, () => 'a'),
  () => Array.from({ length: 10_000 }, () => ({})),
  () => ({}),
  () => [],
  deep,
  () => JSON.parse('{"__proto__": {"isOwner": true}, "constructor": 1}') as unknown,
  () => JSON.parse('null') as unknown,
  () => new Date('2026-11-25T10:00:00Z'),
  () => 10n,
  () => new Map([['a', 1]]),
  () => Symbol.iterator.description,
]

/** The input with something wrong in it: a place in it, or the whole. */
export function broken(input: unknown, random: Random): unknown {
  if (random() < 0.03) return pick(random, NASTY)(random)
  if (Array.isArray(input)) {
    if (input.length === 0 || random() < 0.3) return pick(random, NASTY)(random)
    const at = Math.floor(random() * input.length)
    const change = random() < 0.2 ? Array.from({ length: 10_000 }, () => input[at]) : null
    return change ?? input.map((item, index) => (index === at ? broken(item, random) : item))
  }
  if (typeof input !== 'object' || input === null || input instanceof Date) return pick(random, NASTY)(random)
  const names = Object.keys(input)
  if (names.length === 0 || random() < 0.05) return { ...input, unheardOf: pick(random, NASTY)(random) }
  // Whose it is stays right mostly, so that what is deeper is reached.
  const others = names.filter((name) => !['commandId', 'businessId', 'kind'].includes(name))
  const name = random() < 0.1 || others.length === 0 ? pick(random, names) : pick(random, others)
  return { ...input, [name]: broken((input as Record<string, unknown>)[name], random) }
}
