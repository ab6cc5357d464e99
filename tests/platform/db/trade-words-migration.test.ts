// The renaming of slugs, on a database as it was before: each former spelling is planted in every column that holds slugs, found by the
// names of the columns in Postgres's own catalogue, so that a column forgotten by the migration is found here.
import { randomUUID } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { Client } from 'pg'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { formerly } from '@/lib/trade/catalogue'
import { anotherDatabase } from '../../setup/more-databases'

const MIGRATIONS = 'prisma/migrations'
const RENAMING = '20261129194000_trade_words'
const SLUG_COLUMNS = ['equipment_class', 'failure_mode', 'care_task', 'removed_because_mode', 'profile', 'slug']
const FORMERS = Object.keys(formerly)
/** As received or as it was then: never rewritten. */
const NEVER_REWRITTEN = new Set([
  'command.payload',
  'command.result',
  'audit.before',
  'audit.after',
  'import_row.row_key',
])

type Column = { table: string; name: string; type: string; needed: boolean }

let client: Client
let columns: Column[]

beforeAll(async () => {
  client = new Client({ connectionString: await anotherDatabase('bare') })
  await client.connect()
  const before = readdirSync(MIGRATIONS).filter((folder) => /^\d/.test(folder) && folder < RENAMING)
  for (const folder of before.sort()) await client.query(textOf(folder))
  columns = await readColumns()
})
afterAll(() => client.end())

const textOf = (folder: string) => readFileSync(`${MIGRATIONS}/${folder}/migration.sql`, 'utf8')

async function readColumns(): Promise<Column[]> {
  const { rows } = await client.query<Column>(
    `select table_name as table, column_name as name, udt_name as type, is_nullable = 'NO' and column_default is null as needed
       from information_schema.columns join information_schema.tables using (table_schema, table_name)
      where table_schema = 'public' and table_type = 'BASE TABLE' order by table_name, ordinal_position`,
  )
  return rows
}

const isSlugColumn = ({ table, name: column }: Column) =>
  SLUG_COLUMNS.includes(column) || (table === 'reservoir' && column === 'kind')

/** A value of each type that the checks of the tables let pass. */
const VALUES: Readonly<Record<string, unknown>> = {
  ...{ text: 'x', date: '2026-11-25', timestamptz: '2026-11-25T09:00:00Z', jsonb: '{}', bool: false, _text: [] },
  ...{ int4: 1, int8: 1, float8: 1, numeric: 0.5 },
}
/** Texts that have known values only. */
const KNOWN_TEXTS: Readonly<Record<string, string>> = {
  ...{
    'finding.as_found': 'ok',
    'finding.depth': 'opened',
    'finding.learned_by': 'look',
    'renewal.reason': 'schedule',
  },
  ...{ 'interval_choice.decision': 'accepted', 'reservoir.filled_by': 'technician', 'reservoir.kind': 'gas' },
  ...{ 'visit_event.kind': 'work', 'command.status': 'applied', 'tank.profile': 'reef' },
}

/** One row; what is not given is made up. Rules about other tables are off. */
async function plant(table: string, given: Readonly<Record<string, unknown>>): Promise<void> {
  const filled = columns.filter((column) => column.table === table && (column.needed || column.name in given))
  const valueFor = ({ name: column, type }: Column) =>
    given[column] ?? (type === 'uuid' ? randomUUID() : (KNOWN_TEXTS[`${table}.${column}`] ?? VALUES[type]))
  await client.query(
    `insert into ${table} (${filled.map((column) => `"${column.name}"`).join(', ')}) values (${filled.map((_, place) => `$${place + 1}`).join(', ')})`,
    filled.map(valueFor),
  )
}

async function tablesAre(word: 'FORCE' | 'NO FORCE'): Promise<void> {
  for (const table of new Set(columns.map((column) => column.table)))
    await client.query(`alter table ${table} ${word} row level security`)
}

test('no former spelling is left in any column, and triggers and policies stand as before', async () => {
  const guards = `select tgrelid::regclass || ' ' || tgname || ' ' || tgenabled::text as line from pg_trigger where not tgisinternal
    union select relname || ' ' || relforcerowsecurity::text from pg_class where relnamespace = 'public'::regnamespace and relrowsecurity order by line`
  const guardsBefore = (await client.query(guards)).rows
  const { rows: keys } = await client.query<{ drop: string }>(
    `select format('alter table %s drop constraint %I', conrelid::regclass, conname) as drop from pg_constraint where contype = 'f'`,
  )
  for (const { drop } of keys) await client.query(drop)
  await tablesAre('NO FORCE')
  const businessId = randomUUID()
  await plant('business', { id: businessId })
  const planted = columns.filter(isSlugColumn)
  expect(planted.length).toBeGreaterThan(15)
  for (const { table, name: column } of planted)
    for (const former of FORMERS) {
      if (column === 'kind' && former !== 'top-off-water') continue
      await plant(table, { business_id: businessId, [column]: former })
    }
  for (const former of FORMERS)
    await plant('visit_event', { kind: 'switched-off', detail: JSON.stringify({ devices: [former, 'heater'] }) })
  const note = JSON.stringify({ text: 'auto-top-off' })
  await plant('visit_event', { kind: 'note', detail: note })
  await plant('command', { kind: 'visit.work', status: 'applied', payload: '{"task":"return-pump/replace-rotor"}' })
  await tablesAre('FORCE')

  await client.query(textOf(RENAMING))
  expect((await client.query(guards)).rows).toEqual(guardsBefore)

  await tablesAre('NO FORCE')
  columns = await readColumns()
  const left: string[] = []
  for (const { table, name: column, type } of columns) {
    if (!['text', 'jsonb', '_text'].includes(type) || NEVER_REWRITTEN.has(`${table}.${column}`)) continue
    const { rows } = await client.query<{ value: string }>(`select "${column}"::text as value from ${table}`)
    for (const { value } of rows)
      if (value !== null && FORMERS.some((former) => value === former || value.includes(`"${former}"`)))
        left.push(`${table}.${column}: ${value}`)
  }
  // What people wrote is theirs.
  expect(left.map((line) => line.replaceAll(' ', ''))).toEqual([`visit_event.detail:${note.replaceAll(' ', '')}`])

  const stored = await client.query<{ slug: string }>('select failure_mode as slug from finding order by slug')
  const expected = FORMERS.map((former) => formerly[former] ?? '')
  const slugs = stored.rows.map(({ slug }) => slug)
  for (const slug of expected) expect(slugs).toContain(slug)
  const events = await client.query<{ device: string }>(
    `select detail->'devices'->>0 as device from visit_event where kind = 'switched-off'`,
  )
  expect(events.rows.map(({ device }) => device).sort()).toEqual(expected.sort())
  // Dropped where they stood, and to be made again at the next start.
  expect((await client.query('select derived_missing from business')).rows).toEqual([{ derived_missing: true }])
  for (const table of ['lane', 'due_item', 'repeat_fault'])
    expect((await client.query(`select from ${table}`)).rowCount, table).toBe(0)
})
