/**
 * How much less one visit costs than making everything derived again, and what a rebuild costs beside reading the same
 * rows: side by side in one run, on a simulated business of 48 tanks and three years. The ratios count, not the milliseconds.
 *
 *   node --conditions=react-server --import tsx tests/bench/visit-to-work-due.ts
 */
import { rebuildDerived, refitLifeModels, touchLanes } from '@/lib/office/due/commands'
import { readLaneRows } from '@/lib/office/due/lane-rows'
import { readerOf } from '@/lib/platform/db/reading'
import { inScope } from '@/lib/platform/db/scope'
import { writeSimulatedBusiness } from '../office/due/simulated-business'
import { withBenchDatabase } from './bench-database'

const ROUNDS = 5
const TODAY = Math.floor(Date.UTC(2026, 0, 5) / 86_400_000)

await withBenchDatabase(async () => {
  const business = await writeSimulatedBusiness(11, { tankCount: 48, weeks: 156 })
  await refitLifeModels(business.scope, TODAY)
  const deviceIds = business.devices.map((device) => device.id)
  const times = { read: [] as number[], rebuild: [] as number[], visit: [] as number[], refit: [] as number[] }
  for (let round = 0; round < ROUNDS; round++) {
    const one = deviceIds[(round * 7) % deviceIds.length] ?? ''
    times.read.push(
      await timed(() => inScope(business.scope, (tx) => readLaneRows(readerOf(tx), business.businessId, deviceIds))),
    )
    times.rebuild.push(await timed(() => rebuildDerived(business.scope)))
    times.visit.push(await timed(() => inScope(business.scope, (tx) => touchLanes(tx, business.businessId, [one]))))
    times.refit.push(await timed(() => refitLifeModels(business.scope, TODAY)))
  }
  const [read, rebuild, visit, refit] = [times.read, times.rebuild, times.visit, times.refit].map(median)
  console.log(`visit to work due: ${ROUNDS} rounds, 48 tanks, three years, medians of one run`)
  console.log(
    `  reading the rows ${read} ms · rebuild ${rebuild} ms · one visit ${visit} ms · refit and rebuild ${refit} ms`,
  )
  console.log(`  rebuild / reading = ${ratio(rebuild, read)} · rebuild / one visit = ${ratio(rebuild, visit)}`)
})

async function timed(work: () => Promise<unknown>): Promise<number> {
  const start = performance.now()
  await work()
  return performance.now() - start
}

function median(values: number[]): number {
  return Math.round(values.sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0)
}

function ratio(one = 0, other = 0): string {
  return (one / Math.max(1, other)).toFixed(1)
}
