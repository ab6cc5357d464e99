import { existsSync } from 'node:fs'
import path from 'node:path'
import { restoreBackup } from '@/lib/platform/backup'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { filesFolder } from '@/lib/platform/files/file-store'
import { withDatabase } from './database'
import { prepareDatabase } from './prepare-database'
import { runCommand } from './run-command'

/** `npm run restore -- FILE`: reads an archive of `npm run backup` into an empty database and an empty folder of files. */
await runCommand(async () => {
  const named = process.argv[2]
  if (!named) throw new OperatorError('Which backup? npm run restore -- FILE')
  const file = path.resolve(named)
  if (!existsSync(file)) throw new OperatorError(`There is no file ${file}.`)
  await withDatabase(async (urls) => {
    await prepareDatabase(urls)
    const { madeAt, rows, files } = await restoreBackup({ ownerUrl: urls.ownerUrl, filesFolder: filesFolder(), file })
    process.stdout.write(
      `Restored what stood here at ${madeAt}: ${rows} rows and ${files} files, each table compared with the backup.\n` +
        'Everybody signs in again with the password they had. Work that waited in the queue then is asked for again tonight.\n',
    )
  })
})
