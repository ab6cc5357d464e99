import { parseArgs } from 'node:util'
import { dayOf } from '@/lib/office/due/days'
import { rebuildDerived, refitLifeModels } from '@/lib/office/due/rebuild'
import { closeDatabase } from '@/lib/platform/db/client'
import { commandLineActor } from './command-line-actor'
import { withDatabase } from './database'
import { runCommand } from './run-command'

/**
 * `npm run rebuild -- --business NAME [--refit]`: makes lanes, due items and repeat faults again from what happened, at the
 * present model version; with `--refit` fits the life models first.
 */
await runCommand(async () => {
  const { values } = parseArgs({ options: { business: { type: 'string' }, refit: { type: 'boolean' } } })
  await withDatabase(async () => {
    const actor = await commandLineActor(values.business)
    if (values.refit) await refitLifeModels(actor, dayOf(new Date()))
    else await rebuildDerived(actor)
    process.stderr.write('Lanes, work due and repeat faults are made again.\n')
    await closeDatabase()
  })
})
