import { parseArgs } from 'node:util'
import { estimatesOf } from '@/lib/office/due/estimates'
import { closeDatabase } from '@/lib/platform/db/client'
import { commandLineActor } from './command-line-actor'
import { withDatabase } from './database'
import { runCommand } from './run-command'

/** `npm run -s estimates -- --business NAME`: the fits and the repeat faults of one business as JSON on standard output. */
await runCommand(async () => {
  const { values } = parseArgs({ options: { business: { type: 'string' } } })
  await withDatabase(async () => {
    const actor = await commandLineActor(values.business)
    process.stdout.write(`${JSON.stringify(await estimatesOf(actor), null, 1)}\n`)
    await closeDatabase()
  })
})
