import { existsSync } from 'node:fs'
import path from 'node:path'
import type { DatabaseUrls } from '@/lib/entry/database'
import { prepareDatabase } from '@/lib/entry/prepare-database'
import { restoreBackup } from '@/lib/platform/backup'
import { anotherDatabase, urlsOf } from './more-databases'

/**
 * Where a full database of the first version (2d87dc0) lies, beside the checkout: the demo business as of 29 Nov 2026 and an import
 * of old records, as that version's own backup wrote them. Null where it is absent; say so, and skip.
 */
export function firstVersionSample(): string | null {
  const folder = path.resolve('..', 'shared', 'samples', 'first-version')
  return existsSync(path.join(folder, 'tankround-2d87dc0.tar.gz')) ? folder : null
}

/**
 * A database with the first version's content, migrated up to the migration `upTo` (its name; by default to the newest, with queues and
 * roles as a start leaves them). For trying a migration on it: ask for the state before, run yours, look.
 * Its files go to `filesFolder`. Dropped after the test file.
 */
export async function firstVersionDatabase(filesFolder: string, upTo?: string): Promise<DatabaseUrls> {
  const folder = firstVersionSample()
  if (!folder) throw new Error('the sample of the first version is not beside this checkout')
  const ownerUrl = await anotherDatabase('bare')
  const file = path.join(folder, 'tankround-2d87dc0.tar.gz')
  await restoreBackup({ ownerUrl, filesFolder, file, upTo })
  const urls = urlsOf(ownerUrl)
  if (upTo === undefined) await prepareDatabase(urls)
  return urls
}
