import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import path from 'node:path'
import { Client } from 'pg'
import { checkoutFolder } from '@/lib/platform/config/data-folder'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { checkAppRole } from '@/lib/platform/db/check-app-role'
import { ensureAppRole } from '@/lib/platform/db/ensure-app-role'
import { installQueues } from '@/lib/platform/jobs/install'
import type { DatabaseUrls } from './database'
import { runPrisma } from './run-prisma'

/** Any fixed number: two processes that migrate one database wait for each other on it. */
const MIGRATION_LOCK = 7_310_281

/**
 * Brings a database to the state this code needs: migrations, job queues, and a role for the application that
 * row-level security can hold. Safe to run again and at the same time from two processes.
 * Errors: OperatorError when the database is newer than the code or the application's role is too powerful.
 */
export async function prepareDatabase({ ownerUrl, appUrl }: DatabaseUrls): Promise<void> {
  const client = new Client({ connectionString: ownerUrl })
  await connectInWords(client, ownerUrl)
  try {
    await client.query('select pg_advisory_lock($1)', [MIGRATION_LOCK])
    await migrate(client, ownerUrl)
    await installQueues(ownerUrl)
    await ensureAppRole(ownerUrl, appUrl)
    await checkAppRole(appUrl)
  } finally {
    await client.end()
  }
}

async function connectInWords(client: Client, url: string): Promise<void> {
  try {
    await client.connect()
  } catch (error) {
    const { hostname, port, pathname } = new URL(url)
    const reason = error instanceof Error && error.message ? error.message : String(error)
    throw new OperatorError(
      `The database ${pathname.slice(1)} at ${hostname}:${port || 5432} does not answer: ${reason}`,
    )
  }
}

async function migrate(client: Client, ownerUrl: string): Promise<void> {
  const known = knownMigrations()
  const applied = await appliedMigrations(client)
  const unknown = applied.map((row) => row.name).filter((name) => !known.has(name))
  if (unknown.length > 0)
    throw new OperatorError(
      `This database is newer than this Tankround: it has the change "${unknown.at(-1)}", which this version does not know. Update Tankround, or restore an older backup.`,
    )
  // The applied text must be the one we know; a changed one is left for prisma to refuse.
  const finished = new Map(applied.filter((row) => row.finished).map((row) => [row.name, row.checksum]))
  if ([...known].every(([name, checksum]) => finished.get(name) === checksum)) return
  // A migration is applied whole or not at all (prisma.config.ts), so one that failed left nothing behind: try it again.
  if (applied.length > 0)
    await client.query(
      'update _prisma_migrations set rolled_back_at = now() where finished_at is null and rolled_back_at is null',
    )
  await runPrisma(['migrate', 'deploy'], { DATABASE_URL: ownerUrl })
}

/** The migrations of this checkout, each with the checksum prisma keeps of it. */
function knownMigrations(): Map<string, string> {
  const folder = path.join(checkoutFolder(), 'prisma', 'migrations')
  if (!existsSync(folder)) return new Map()
  return new Map(
    readdirSync(folder, { withFileTypes: true })
      .filter((entry) => entry.isDirectory())
      .map((entry) => {
        const script = readFileSync(path.join(folder, entry.name, 'migration.sql'))
        return [entry.name, createHash('sha256').update(script).digest('hex')]
      }),
  )
}

type AppliedMigration = { name: string; checksum: string; finished: boolean }

async function appliedMigrations(client: Client): Promise<AppliedMigration[]> {
  const table = await client.query<{ found: string | null }>("select to_regclass('_prisma_migrations')::text as found")
  if (!table.rows[0]?.found) return []
  const { rows } = await client.query<AppliedMigration>(
    `select migration_name as name, checksum, finished_at is not null as finished
       from _prisma_migrations where rolled_back_at is null order by migration_name`,
  )
  return rows
}
