import { createHash, randomUUID } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import path from 'node:path'
import type { Client } from 'pg'
import { checkoutFolder } from '@/lib/platform/config/data-folder'
import { OperatorError } from '@/lib/platform/config/operator-error'

/** Any fixed number: whoever migrates, restores or backs up a database holds it as an advisory lock. */
export const MIGRATION_LOCK = 7_310_281

/** One change of the schema; `checksum` is the SHA-256 of its script, as Prisma's list keeps it too. */
export type Migration = { name: string; script: string; checksum: string }

/** The migrations of this checkout in the order in which they apply. */
export function knownMigrations(): Migration[] {
  const folder = path.join(checkoutFolder(), 'prisma', 'migrations')
  return readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map(({ name }) => {
      const script = readFileSync(path.join(folder, name, 'migration.sql'), 'utf8')
      return { name, script, checksum: createHash('sha256').update(script).digest('hex') }
    })
    .sort((a, b) => (a.name < b.name ? -1 : 1))
}

/** The migrations that this database has, by name with their checksums. None where it was never migrated. */
export async function appliedMigrations(client: Client): Promise<Map<string, string>> {
  const table = await client.query<{ found: string | null }>(
    "select to_regclass('public._prisma_migrations')::text as found",
  )
  if (!table.rows[0]?.found) return new Map()
  const { rows } = await client.query<{ name: string; checksum: string }>(
    `select migration_name as name, checksum from public._prisma_migrations
      where finished_at is not null and rolled_back_at is null order by migration_name`,
  )
  return new Map(rows.map(({ name, checksum }) => [name, checksum]))
}

/**
 * Applies what this database does not have yet, each migration in a transaction of its own together with its entry in the
 * list: it is there whole or not at all. The caller holds MIGRATION_LOCK.
 * Errors: OperatorError for a database that is newer than this code or had another text of a migration; what Postgres says.
 */
export async function migrateToNewest(client: Client): Promise<void> {
  const known = knownMigrations()
  const applied = await appliedMigrations(client)
  const unknown = [...applied.keys()].filter((name) => !known.some((migration) => migration.name === name))
  if (unknown.length > 0)
    throw new OperatorError(
      `This database is newer than this Tankround: it has the change "${unknown.at(-1)}", which this version does not know. Update Tankround, or restore an older backup.`,
    )
  const changed = known.find(({ name, checksum }) => applied.has(name) && applied.get(name) !== checksum)
  if (changed)
    throw new OperatorError(
      `The change "${changed.name}" was edited after this database had it. Take the text back as it was: what a database has is changed by a new migration only.`,
    )
  for (const migration of known) {
    if (applied.has(migration.name)) continue
    await client.query('begin')
    try {
      await applyMigration(client, migration)
      await client.query('commit')
    } catch (error) {
      await client.query('rollback')
      throw error
    }
  }
}

/**
 * Applies one migration and notes it, inside the caller's transaction; as if in one of its own: what an earlier one set or made for
 * itself is gone.
 */
export async function applyMigration(client: Client, { name, script, checksum }: Migration): Promise<void> {
  // The list has the shape that Prisma's own tools read and write.
  await client.query(`create table if not exists public._prisma_migrations (
    id varchar(36) primary key not null, checksum varchar(64) not null, finished_at timestamptz,
    migration_name varchar(255) not null, logs text, rolled_back_at timestamptz,
    started_at timestamptz not null default now(), applied_steps_count integer not null default 0)`)
  await client.query('reset all; discard temp')
  try {
    await client.query(script)
  } catch (error) {
    if (error instanceof Error) error.message = `migration ${name}: ${error.message}`
    throw error
  }
  await client.query(
    `insert into public._prisma_migrations (id, checksum, finished_at, migration_name, applied_steps_count)
     values ($1, $2, clock_timestamp(), $3, 1)`,
    [randomUUID(), checksum, name],
  )
}
