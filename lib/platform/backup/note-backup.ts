import { newId } from '@/lib/new-id'
import { connectAsOwner } from '@/lib/platform/db/connect-as-owner'
import type { BackupWritten } from './write-backup'

/** Notes that a backup was made, for whoever looks at Today. As the owner, so that it works before an update, too. */
export async function noteBackup(
  ownerUrl: string,
  { bytes, sha256 }: Pick<BackupWritten, 'bytes' | 'sha256'>,
): Promise<void> {
  const client = await connectAsOwner(ownerUrl)
  try {
    await client.query(
      'insert into identity.backup_run (id, finished_at, size_bytes, sha256) values ($1, clock_timestamp(), $2, $3)',
      [newId(), bytes, sha256],
    )
  } finally {
    await client.end()
  }
}
