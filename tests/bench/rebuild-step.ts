/**
 * One step of the rebuild benchmark in a process of its own, so that its peak memory is its own: prints one line of JSON.
 * `stream` asks for the rows of all lanes as a rebuild does, by the same driver, and does nothing with them.
 */
import { rebuildDerived, refitLifeModels } from '@/lib/office/lanes/rebuild'
import { partsOfBusiness, streamParts } from '@/lib/office/lanes/stream-lanes'
import { closeDatabase } from '@/lib/platform/db/client'
import { inReading } from '@/lib/platform/db/sql'
import type { StepAnswer } from './rebuild'
import { timed } from './timing'

const [step, businessId = '', today = '0'] = process.argv.slice(2)
const scope = { role: 'office' as const, businessId, personId: businessId }

let rows = 0
async function stream(): Promise<void> {
  await inReading(scope, async (read) => {
    for await (const part of streamParts(read, businessId, await partsOfBusiness(read, businessId)))
      rows += part.rows.length
  })
}

const ms = await timed(async () => {
  if (step === 'stream') await stream()
  else if (step === 'rebuild') await rebuildDerived(scope)
  else if (step === 'refit') await refitLifeModels(scope, Number(today))
  else throw new Error(`there is no step ${step}`)
})
await closeDatabase()
const { maxRSS, userCPUTime, systemCPUTime } = process.resourceUsage()
const answer: StepAnswer = { ms, rows, peakMiB: maxRSS / 1024, cpuMs: (userCPUTime + systemCPUTime) / 1000 }
process.stdout.write(`${JSON.stringify(answer)}\n`)
