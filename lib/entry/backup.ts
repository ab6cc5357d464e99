import path from 'node:path'
import { newId } from '@/lib/new-id'
import { writeBackup } from '@/lib/platform/backup'
import { dataFolder } from '@/lib/platform/config/data-folder'
import { filesFolder } from '@/lib/platform/files/file-store'
import { withDatabase } from './database'
import { prepareDatabase } from './prepare-database'
import { runCommand } from './run-command'

/** `npm run backup [-- FILE]`: the whole database and all files in one archive; people may go on working. */
await runCommand(async () => {
  const now = new Date()
  const named = process.argv[2]
  const file = named ? path.resolve(named) : path.join(dataFolder(), 'backups', defaultName(now))
  await withDatabase(async (urls) => {
    await prepareDatabase(urls)
    const written = await writeBackup({
      ownerUrl: urls.ownerUrl,
      filesFolder: filesFolder(),
      file,
      now,
    })
    const { asIdentity } = await import('@/lib/platform/db/scope') // only here: it needs the generated client
    const { bytes, sha256, rows, files } = written
    await asIdentity((tx) =>
      tx.backupRun.create({ data: { id: newId(), finishedAt: new Date(), sizeBytes: BigInt(bytes), sha256 } }),
    )
    process.stdout.write(
      `${file}\n${rows} rows and ${files} files, ${(bytes / 1e6).toFixed(1)} MB, SHA-256 ${sha256}\n` +
        'Copy it to another machine: a backup beside the data is lost with it.\n',
    )
  })
})

/** tankround-2026-11-25-1437.tar.gz, in UTC, so that names sort by time. */
function defaultName(now: Date): string {
  return `tankround-${now.toISOString().slice(0, 16).replace('T', '-').replace(':', '')}.tar.gz`
}
