import { estimatesOf } from '@/lib/office/due/estimates'
import { readArguments } from './command-line'
import { commandLineActor } from './command-line-actor'
import { withDatabase } from './database'
import { prepareDatabase } from './prepare-database'
import { runCommand } from './run-command'

const USAGE = `npm run -s estimates -- --business NAME

The fits and the repeat faults of one business as JSON on standard output. The name may be left out where there is one business only.`

/** `npm run -s estimates`: see USAGE. */
await runCommand(async () => {
  const { values } = readArguments({ usage: USAGE, options: { business: { type: 'string' } } })
  await withDatabase(async (urls) => {
    await prepareDatabase(urls)
    const actor = await commandLineActor(values.business)
    process.stdout.write(`${JSON.stringify(await estimatesOf(actor), null, 1)}\n`)
  })
})
