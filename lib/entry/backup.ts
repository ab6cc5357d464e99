import path from 'node:path'
import { noteBackup, writeBackup } from '@/lib/platform/backup'
import { dataFolder } from '@/lib/platform/config/data-folder'
import { fileStore, filesFolder } from '@/lib/platform/files/file-store'
import { placeFilesByHash } from '@/lib/platform/files/move-files'
import { readArguments } from './command-line'
import { withDatabase } from './database'
import { runCommand } from './run-command'

const USAGE = `Back up:             npm run backup [-- FILE]
All in one file:     npm run backup -- --whole [FILE]

Writes the database into FILE, by default a new file in the folder "backups" of the data folder, and every photo once into the
folder "files" beside it. With --whole the photos are in FILE too. Everything is read back before it counts. People may go on
working. Copy the backup and the folder "files" to another machine: a backup beside the data is lost with it.`

/** `npm run backup`: see USAGE. */
await runCommand(async () => {
  const { values, positionals } = readArguments({ usage: USAGE, options: { whole: { type: 'boolean' } }, words: 1 })
  const { whole = false } = values
  const now = new Date()
  const [named] = positionals
  const file = named ? path.resolve(named) : path.join(dataFolder(), 'backups', defaultName(now, whole))
  // The database is taken as it is: whoever backs up before an update wants what was there before it.
  await withDatabase(async ({ ownerUrl }) => {
    await placeFilesByHash(filesFolder(), { keepFormer: true })
    const written = await writeBackup({ ownerUrl, files: fileStore(), file, orNext: !named, whole, now })
    const { bytes, sha256, rows, files, copied, damagedFiles } = written
    await noteBackup(ownerUrl, written)
    const photos = whole ? `${files} files in it` : `${files} files beside it, ${copied} of them new`
    process.stdout.write(
      `${written.file}\n${rows} rows, ${(bytes / 1e6).toFixed(1)} MB, SHA-256 ${sha256}; ${photos}. All of it was read back.\n` +
        `Copy it${whole || files === 0 ? '' : ' and the folder "files" beside it'} to another machine: a backup beside the data is lost with it.\n`,
    )
    if (damagedFiles.length > 0) {
      process.stderr.write(
        `The disk has changed ${damagedFiles.length} photos, which are not in this backup: ${damagedFiles.join(', ')}. An older backup may still have them.\n`,
      )
      process.exitCode = 1
    }
  })
})

/** tankround-2026-11-25-143712.tar.gz, in UTC, so that names sort by time. */
function defaultName(now: Date, whole: boolean): string {
  const moment = now.toISOString().slice(0, 19).replace('T', '-').replaceAll(':', '')
  return `tankround-${moment}${whole ? '-whole' : ''}.tar.gz`
}
