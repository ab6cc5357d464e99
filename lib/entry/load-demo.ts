import { isLoopbackOnly } from '@/lib/platform/config/loopback'
import { readArguments } from './command-line'
import { withDatabase } from './database'
import { loadDemo } from './demo'
import { placeOfServer } from './place-of-server'
import { prepareDatabase } from './prepare-database'
import { runCommand } from './run-command'

const USAGE = `npm run demo

Loads the demo business into an empty database and says how to sign in. "npm start" does it too.`

/** `npm run demo`: see USAGE. */
await runCommand(async () => {
  readArguments({ usage: USAGE, options: {} })
  await withDatabase(async (urls) => {
    await prepareDatabase(urls)
    const words = await loadDemo((line) => process.stderr.write(`${line}\n`), {
      onlyHere: isLoopbackOnly(placeOfServer()),
    })
    process.stdout.write(`${words}\n`)
  })
})
