import { execFile } from 'node:child_process'
import { readdir, readFile } from 'node:fs/promises'
import path from 'node:path'
import { promisify } from 'node:util'
import pg from 'pg'
import { expect, test } from 'vitest'
import { testDatabase } from '../../setup/database'

const ROOT = path.resolve(import.meta.dirname, '../../..')

/** Columns, keys and indexes as Postgres describes them, one line each. */
async function describeDatabase(client: pg.Client): Promise<string[]> {
  const { rows } = await client.query<{ line: string }>(`
    SELECT format('%s.%s.%s %s %s %s', table_schema, table_name, column_name, udt_name, is_nullable,
             coalesce(numeric_precision || ',' || numeric_scale, '') || ' ' || coalesce(column_default, '')) AS line
      FROM information_schema.columns WHERE table_schema IN ('public', 'identity') AND table_name <> '_prisma_migrations'
    UNION ALL
    SELECT format('%s on %s: %s', conname, conrelid::regclass, pg_get_constraintdef(k.oid))
      FROM pg_constraint k JOIN pg_namespace n ON n.oid = connamespace
      WHERE n.nspname IN ('public', 'identity') AND contype IN ('p', 'f', 'u') AND conrelid::regclass::text <> '_prisma_migrations'
    UNION ALL
    SELECT indexdef FROM pg_indexes WHERE schemaname IN ('public', 'identity') AND tablename <> '_prisma_migrations'
    ORDER BY line`)
  return rows.map((row) => row.line)
}

// By hand, because the schema language has no word for them; see the end of the migrations.
const ONLY_IN_MIGRATIONS = [
  /^membership_login_fkey /,
  / INDEX visit_no_overlap /,
  / INDEX finding_needs_by_mode_idx /,
  / INDEX visit_not_ended_by_day /,
  / INDEX visit_event_switching_idx /,
  / INDEX due_item_proposal_idx /,
  / INDEX stock_move_counted_idx /,
  / INDEX invoice_standing_idx /,
  / INDEX allocation_moved_on_idx /,
  / INDEX visit_last_routine_idx /,
]

test('a database migrated from the first migration equals the schema: columns, keys, indexes', async () => {
  const { ownerUrl } = await testDatabase()
  const script = await promisify(execFile)(
    'npx',
    ['prisma', 'migrate', 'diff', '--from-empty', '--to-schema-datamodel', 'prisma/schema.prisma', '--script'],
    { cwd: ROOT, env: { ...process.env, DATABASE_URL: ownerUrl }, maxBuffer: 2 ** 24 },
  )
  const migrated = new pg.Client(ownerUrl)
  await migrated.connect()
  try {
    const byMigrations = await describeDatabase(migrated)
    const shared = byMigrations.filter((line) => !ONLY_IN_MIGRATIONS.some((known) => known.test(line)))
    const bySchema = await describeFromScript(migrated, ownerUrl, script.stdout)
    expect(shared).toEqual(bySchema)
    expect(shared.length).toBeGreaterThan(500)
    expect(byMigrations.length - shared.length).toBe(ONLY_IN_MIGRATIONS.length)
  } finally {
    await migrated.end()
  }
})

/** What a second, empty database looks like after the schema's own script. */
async function describeFromScript(maker: pg.Client, ownerUrl: string, script: string): Promise<string[]> {
  const name = `described_${process.pid}_${process.hrtime()[1]}`
  await maker.query(`CREATE DATABASE ${name}`)
  const url = new URL(ownerUrl)
  url.pathname = `/${name}`
  const described = new pg.Client(url.href)
  await described.connect()
  try {
    await described.query(script)
    return await describeDatabase(described)
  } finally {
    await described.end()
    await maker.query(`DROP DATABASE ${name}`)
  }
}

test('policies, triggers and exclusions are, by name, those the migrations write', async () => {
  const folder = path.join(ROOT, 'prisma/migrations')
  const names = (await readdir(folder, { withFileTypes: true }))
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name)
  const written = new Set<string>()
  for (const name of names.sort()) {
    const sql = await readFile(path.join(folder, name, 'migration.sql'), 'utf8')
    for (const match of sql.matchAll(
      /\b(CREATE|DROP) (?:POLICY|TRIGGER) (?:IF EXISTS )?"?(\w+)"?|ADD CONSTRAINT "?(\w+)"? EXCLUDE/g,
    )) {
      const found = match[2] ?? match[3] ?? ''
      if (match[1] === 'DROP') written.delete(found)
      else written.add(found)
    }
  }
  const client = new pg.Client((await testDatabase()).ownerUrl)
  await client.connect()
  try {
    const { rows } = await client.query<{ name: string }>(`
      SELECT polname::text AS name FROM pg_policy JOIN pg_class c ON c.oid = polrelid JOIN pg_namespace n ON n.oid = relnamespace
        WHERE nspname IN ('public', 'identity')
      UNION SELECT tgname::text FROM pg_trigger JOIN pg_class c ON c.oid = tgrelid JOIN pg_namespace n ON n.oid = relnamespace
        WHERE NOT tgisinternal AND nspname IN ('public', 'identity')
      UNION SELECT conname::text FROM pg_constraint WHERE contype = 'x'`)
    expect(rows.map((row) => row.name).sort()).toEqual([...written].sort())
  } finally {
    await client.end()
  }
})
