import { statSync } from 'node:fs'
import path from 'node:path'
import { checkBackup, restoreBackup } from '@/lib/platform/backup'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { filesFolder } from '@/lib/platform/files/file-store'
import { readArguments } from './command-line'
import { withDatabase } from './database'
import { prepareDatabase } from './prepare-database'
import { rebuildMissing } from './rebuild-missing'
import { runCommand } from './run-command'

const USAGE = `Restore a backup:    npm run restore -- FILE [--without-missing-files]
Only read it:        npm run restore -- FILE --check

Fills an empty database from a backup of this or an older version, with the photos in it or in the folder "files" beside it:
all of it or, where anything fails, nothing. --check reads the backup and every photo to the end and changes nothing.`

/** `npm run restore`: see USAGE. */
await runCommand(async () => {
  const { values, positionals } = readArguments({
    usage: USAGE,
    options: { check: { type: 'boolean' }, 'without-missing-files': { type: 'boolean' } },
    words: 1,
  })
  const [named] = positionals
  if (!named) throw new OperatorError(`Which backup?\n\n${USAGE}`)
  const file = path.resolve(named)
  const found = statSync(file, { throwIfNoEntry: false })
  if (!found) throw new OperatorError(`There is no file ${file}.`)
  if (!found.isFile())
    throw new OperatorError(`${file} is no file. Name the archive itself, like ${file}/tankround-….tar.gz.`)
  if (values.check) return check(file)
  await withDatabase(async (urls) => {
    const { madeAt, rows, files, missingFiles } = await restoreBackup({
      ownerUrl: urls.ownerUrl,
      filesFolder: filesFolder(),
      file,
      withoutMissingFiles: values['without-missing-files'],
      say: (line) => process.stderr.write(`${line} …\n`),
    })
    await prepareDatabase(urls)
    await rebuildMissing((line) => process.stderr.write(`${line}\n`))
    process.stdout.write(
      `Restored what stood here at ${madeAt}: ${rows} rows and ${files} files, each table compared with the backup.\n` +
        (missingFiles > 0 ? `${missingFiles} files were missing beside it.\n` : '') +
        'Everybody signs in again with the password they had. Work that waited in the queue then is asked for again tonight.\n',
    )
  })
})

async function check(file: string): Promise<void> {
  const { about, manifest } = await checkBackup(file, { everyFile: true })
  const rows = manifest.tables.reduce((sum, table) => sum + table.rows, 0)
  process.stdout.write(
    `This backup of ${about.madeAt} is good: ${rows} rows in ${manifest.tables.length} tables and ${manifest.files.length} files, all read to the end.\n`,
  )
}
