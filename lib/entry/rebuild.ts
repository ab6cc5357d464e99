import { dayOf } from '@/lib/office/lanes/day-numbers'
import { rebuildDerived, refitLifeModels } from '@/lib/office/lanes/rebuild'
import { rebuildStock } from '@/lib/office/parts/rebuild-stock'
import { readArguments } from './command-line'
import { commandLineActor } from './command-line-actor'
import { withDatabase } from './database'
import { prepareDatabase } from './prepare-database'
import { runCommand } from './run-command'

const USAGE = `npm run rebuild -- --business NAME [--refit]

Makes lanes, work due, repeat faults and what lies where again from what happened, with the present life models; with --refit fits
those first. The name may be left out where there is one business only.`

/** `npm run rebuild`: see USAGE. */
await runCommand(async () => {
  const { values } = readArguments({
    usage: USAGE,
    options: { business: { type: 'string' }, refit: { type: 'boolean' } },
  })
  await withDatabase(async (urls) => {
    await prepareDatabase(urls)
    const actor = await commandLineActor(values.business)
    if (values.refit) await refitLifeModels(actor, dayOf(new Date()))
    else await rebuildDerived(actor)
    await rebuildStock(actor)
    process.stderr.write('Lanes, work due, repeat faults and what lies where are made again.\n')
  })
})
