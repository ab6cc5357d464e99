import { withDatabase } from './database'
import { prepareDatabase } from './prepare-database'
import { runCommand } from './run-command'

/** `npm run migrate`: brings the database to the state this version needs. `npm start` does it by itself. */
await runCommand(async () => {
  await withDatabase(prepareDatabase)
  process.stderr.write('The database is up to date.\n')
})
