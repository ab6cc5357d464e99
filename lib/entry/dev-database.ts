import { writeFileSync } from 'node:fs'
import path from 'node:path'
import { dataFolder } from '@/lib/platform/config/data-folder'
import { readArguments } from './command-line'
import { openDatabase } from './database'
import { runCommand, untilInterrupted } from './run-command'

const USAGE = `npm run dev:database

Keeps the embedded Postgres running in the foreground and writes its addresses to dev.env in the data folder. Ctrl-C stops it.`

/** `npm run dev:database`: see USAGE. */
await runCommand(async () => {
  readArguments({ usage: USAGE, options: {} })
  const { ownerUrl, appUrl, identityUrl, close } = await openDatabase()
  const keepAlive = setInterval(() => undefined, 60_000)
  const lines = `DATABASE_URL=${ownerUrl}\nAPP_DATABASE_URL=${appUrl}\nIDENTITY_DATABASE_URL=${identityUrl}\n`
  writeFileSync(path.join(dataFolder(), 'dev.env'), lines, { mode: 0o600 })
  process.stdout.write(lines)
  await untilInterrupted()
  clearInterval(keepAlive)
  await close()
})
