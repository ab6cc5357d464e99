import { withDatabase } from './database'
import { loadDemo } from './demo'
import { prepareDatabase } from './prepare-database'
import { runCommand } from './run-command'

/** `npm run demo`: loads the demo business into an empty database and says how to sign in. `npm start` does it too. */
await runCommand(async () => {
  await withDatabase(async (urls) => {
    await prepareDatabase(urls)
    const words = await loadDemo((line) => process.stderr.write(`${line}\n`))
    process.stdout.write(`${words}\n`)
  })
})
