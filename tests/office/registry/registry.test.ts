import { readdirSync, readFileSync } from 'node:fs'
import path from 'node:path'
import { beforeAll, expect, test } from 'vitest'
import { ROLE_ACTIONS } from '@/lib/office/frame/role-actions'
import { COMMANDS } from '@/lib/office/registry/commands'
import { visitCommandSchema } from '@/lib/office/visits/schema'
import { testDatabase } from '../../setup/database'
import { fitting } from '../people/every-action'
import { inputOf, randomFrom } from './random-input'
import { COMMAND_TARGETS, sendRandomRequests } from './random-requests'

beforeAll(() => testDatabase())

test('every command that is defined anywhere in the office is in the registry, once', () => {
  const root = path.join(import.meta.dirname, '../../../lib/office')
  const defined = readdirSync(root, { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.ts'))
    .flatMap((file) => {
      const source = readFileSync(path.join(root, file), 'utf8')
      return [...source.matchAll(/defineCommand\(\s*\{[^}]*?kind: '([^']+)'/g)].map(([, kind]) => kind ?? '')
    })
  const visits = visitCommandSchema.options.map((option) => option.shape.kind.value)
  expect([...COMMANDS.keys()].toSorted()).toEqual([...defined, ...visits].toSorted())
  expect(COMMANDS.size).toBeGreaterThan(90)
})

test('every command names an action of the role table', () => {
  for (const { kind, may } of COMMANDS.values()) expect(Object.keys(ROLE_ACTIONS), kind).toContain(may)
})

test('what a schema has read it reads again as the same', () => {
  const random = randomFrom(11)
  let made = 0
  const ids = () => `018f3a5e-7b1c-7cc3-9a2e-${String(++made).padStart(12, '0')}`
  const unread: string[] = []
  for (const { kind, schema } of COMMANDS.values()) {
    let read = 0
    for (let tries = 0; tries < 400 && read < 3; tries++) {
      const guess = inputOf(schema, random, ids)
      const parsed = schema.safeParse(tries % 2 === 0 ? guess : fitting(schema, guess).sent)
      if (!parsed.success) continue
      read += 1
      expect(schema.parse(parsed.data), kind).toEqual(parsed.data)
    }
    if (read === 0) unread.push(kind)
  }
  expect(unread).toEqual([])
})

test('1,500 random requests are answered, and nothing of another business changes', async () => {
  const { answered, done, kinds } = await sendRandomRequests(COMMAND_TARGETS, 1500, 20_261_129)
  expect(answered).toBe(1500)
  // Enough of them got through to what lies behind the schemas.
  expect(done).toBeGreaterThan(100)
  expect(kinds.size).toBeGreaterThan(25)
}, 600_000)
