import { checkLoginRole } from '@/lib/platform/db/check-login-role'
import { connectAsOwner } from '@/lib/platform/db/connect-as-owner'
import { ensureLoginRole, WAYS_IN } from '@/lib/platform/db/ensure-login-role'
import { MIGRATION_LOCK, migrateToNewest } from '@/lib/platform/db/migrations'
import { installQueues } from '@/lib/platform/jobs/install'
import type { DatabaseUrls } from './database'

/**
 * Brings a database to the state this code needs: migrations, job queues, and the application's two roles, which
 * row-level security can hold. Safe to run again and at the same time from two processes.
 * Errors: OperatorError when the database is newer than the code or one of the two roles is too powerful.
 */
export async function prepareDatabase({ ownerUrl, appUrl, identityUrl }: DatabaseUrls): Promise<void> {
  const client = await connectAsOwner(ownerUrl)
  try {
    await client.query('select pg_advisory_lock($1)', [MIGRATION_LOCK])
    await migrateToNewest(client)
    await installQueues(ownerUrl)
    for (const [url, way] of [
      [appUrl, WAYS_IN.app],
      [identityUrl, WAYS_IN.identity],
    ] as const) {
      await ensureLoginRole(ownerUrl, url, way)
      await checkLoginRole(url, way)
    }
  } finally {
    await client.end()
  }
}
