import { readdirSync } from 'node:fs'
import path from 'node:path'
import { z } from 'zod'
import { actionListed } from '@/lib/office/frame/action'
import type { FormAction } from '@/lib/office/frame/schema'
import { visitFormSchema } from '@/lib/office/visits/say'
import { visitCommandSchema } from '@/lib/office/visits/schema'

/** One server action as the program exports it. */
export type FoundAction = {
  file: string
  name: string
  call: FormAction
  /** What it says of itself; null for one that was not made by `defineAction`. */
  listed: ReturnType<typeof actionListed>
}

/** Every exported action of every `actions.ts` under `app/`, so that a new one is tried from its first day. */
export async function everyAction(): Promise<FoundAction[]> {
  const files = readdirSync('app', { recursive: true, encoding: 'utf8' })
    .filter((name) => path.basename(name) === 'actions.ts')
    .map((name) => path.join('app', name))
    .sort()
  const found: FoundAction[] = []
  for (const file of files) {
    // What is exported from a file of actions is an action: the test that lists them says where it is not.
    const module: Record<string, FormAction> = await import(path.resolve(file))
    for (const [name, call] of Object.entries(module)) found.push({ file, name, call, listed: actionListed(call) })
  }
  return found
}

/** The schemas of what an action takes. A visit's form is read into one of many commands: each is tried. */
export function schemasOf({ listed }: FoundAction): z.ZodType[] {
  if (!listed) return []
  const isVisit: boolean = listed.schema === visitFormSchema
  return isVisit ? [visitCommandSchema] : [listed.schema]
}

// biome-ignore lint/suspicious/noExplicitAny: a JSON schema is a tree of anything
type JsonSchema = any

/** Which id stands where: by the name of the field. */
export type Ids = (field: string) => string

/** A value that a schema is likely to take, with ids of somebody's choice in it. */
export function sampleOf(schema: z.ZodType, ids: Ids): unknown {
  const json: JsonSchema = z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' })
  return sample(json, 'value', ids, json.$defs ?? {})
}

const TEXTS = ['08:00', 'GBP', 'Europe/London', '10', '1.00', 'someone@else.example', '2026-05-04', 'x']

function sample(json: JsonSchema, field: string, ids: Ids, defs: Record<string, JsonSchema>): unknown {
  const inside = (next: JsonSchema, name = field) => sample(next, name, ids, defs)
  if (json.$ref) return inside(defs[String(json.$ref).split('/').at(-1) ?? ''] ?? {})
  if (json.const !== undefined) return json.const
  if (json.enum) return json.enum[0]
  const choice = json.anyOf ?? json.oneOf
  if (choice) {
    // An id before the nothing that may stand in its place.
    const full = choice.find((one: JsonSchema) => one.type !== 'null' && one.const !== '' && one.format === 'uuid')
    return inside(full ?? choice.find((one: JsonSchema) => one.type !== 'null' && one.const !== '') ?? choice[0])
  }
  if (json.allOf) return Object.assign({}, ...json.allOf.map((part: JsonSchema) => inside(part)))
  if (json.type === 'object')
    return Object.fromEntries(
      Object.entries(json.properties ?? {}).map(([name, property]) => [name, inside(property as JsonSchema, name)]),
    )
  if (json.type === 'array') return [inside(json.items ?? {})]
  if (json.type === 'boolean') return true
  if (json.type === 'integer' || json.type === 'number') return Math.max(1, json.minimum ?? 1)
  if (json.format === 'uuid') return ids(field)
  if (json.format === 'date') return '2026-05-04'
  if (json.format === 'date-time') return '2026-05-04T09:00:00Z'
  if (json.format === 'email') return 'someone@else.example'
  if (json.type === 'string') {
    const fits = TEXTS.filter((text) => !json.pattern || new RegExp(json.pattern, 'u').test(text))
    return /Id$/.test(field) ? ids(field) : (fits[0] ?? 'x')
  }
  return /Ids?$/.test(field) ? ids(field) : 'x'
}

/** What else may stand in a field that a first guess did not fit; the last is leaving it out. */
const GUESSES = [
  '17:00',
  '10',
  '0.5',
  '2',
  '95',
  'GB',
  '2026-05',
  '2026-05-04',
  '2026-06-01',
  'someone@else.example',
  'S',
  '',
  undefined,
]

/**
 * What an action is sent, put right as far as guesses go: wherever the schema names a field as wrong, the next guess is put
 * into it. Whether it fits in the end; what does not is sent all the same.
 */
export function fitting(schema: z.ZodType, value: unknown): { sent: unknown; fits: boolean } {
  const sent: unknown = structuredClone(value)
  const guessed = new Map<string, number>()
  for (let round = 0; round < GUESSES.length * 2; round++) {
    const parsed = schema.safeParse(sent)
    if (parsed.success) return { sent, fits: true }
    for (const where of new Set(parsed.error.issues.map(({ path }) => path.join('.')))) {
      const turn = guessed.get(where) ?? 0
      guessed.set(where, turn + 1)
      put(sent, where.split('.'), GUESSES[turn % GUESSES.length])
    }
  }
  return { sent, fits: false }
}

function put(into: unknown, path: readonly string[], value: unknown): void {
  let place: unknown = into
  for (const name of path.slice(0, -1))
    place = typeof place === 'object' && place !== null ? Reflect.get(place, name) : null
  const last = path.at(-1)
  if (typeof place === 'object' && place !== null && last) {
    if (value === undefined) Reflect.deleteProperty(place, last)
    else Reflect.set(place, last, value)
  }
}
