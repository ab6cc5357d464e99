import { filesFolder } from '@/lib/platform/files/file-store'
import { placeFilesByHash } from '@/lib/platform/files/move-files'
import { readArguments } from './command-line'
import { withDatabase } from './database'
import { prepareDatabase } from './prepare-database'
import { rebuildMissing } from './rebuild-missing'
import { runCommand } from './run-command'

const USAGE = `npm run migrate

Brings the database and the names of the stored photos to the state that this version needs. "npm start" does it by itself.`

/** `npm run migrate`: see USAGE. */
await runCommand(async () => {
  readArguments({ usage: USAGE, options: {} })
  await withDatabase(async (urls) => {
    await prepareDatabase(urls)
    await rebuildMissing((line) => process.stderr.write(`${line}\n`))
  })
  await placeFilesByHash(filesFolder())
  process.stderr.write('The database is up to date.\n')
})
