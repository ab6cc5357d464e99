/**
 * Fresh and cheap: what it takes to make everything derived again beside streaming the same rows, how much memory, and how soon
 * one visit stands in Work due; side by side in one run on an invented business of ten thousand tanks and five years. The ratios
 * count, not the milliseconds of this machine.
 *
 *   node --conditions=react-server --import tsx tests/bench/rebuild.ts [--tanks 10000] [--visits 130]
 */
import { execFile } from 'node:child_process'
import path from 'node:path'
import { promisify } from 'node:util'
import { withBenchDatabase } from './bench-database'
import { benchSize } from './bench-size'
import { writeLargeBusiness } from './large-business'
import { median, say, seconds } from './timing'
import { visitsToWorkDue } from './visit-to-work-due'

export type StepAnswer = { ms: number; rows: number; peakMiB: number; cpuMs: number }

const VISITS = 15
/** The day after the last visit of the invented business. */
const LAST_DAY = Math.floor(Date.UTC(2026, 0, 5) / 86_400_000)

await withBenchDatabase(async ({ ownerUrl }) => {
  const { tanks, visitsPerTank } = benchSize()
  const started = performance.now()
  const business = await writeLargeBusiness(ownerUrl, { tanks, visitsPerTank })
  const count = (n: number) => n.toLocaleString('en-GB')
  say(
    `work due of ${count(tanks)} tanks: ${count(business.visits)} visits, ${count(business.looks)} looks, ` +
      `${count(business.lanes)} lanes (written in ${seconds(performance.now() - started)})`,
  )
  const step = (name: 'stream' | 'rebuild' | 'refit') => runStep(name, business.businessId)
  const refit = await step('refit')
  const before = await step('stream')
  const rebuild = await step('rebuild')
  const after = await step('stream')
  const streaming = (before.ms + after.ms) / 2
  const perLane = (answer: StepAnswer) => (answer.cpuMs / business.lanes).toFixed(2)
  say(`  streaming the rows of all lanes  ${seconds(before.ms)} before and ${seconds(after.ms)} after, ${mib(before)}`)
  say(
    `  rebuild                          ${seconds(rebuild.ms)} = ${(rebuild.ms / streaming).toFixed(2)} times streaming, ` +
      `${mib(rebuild)}, ${perLane(rebuild)} ms of processor a lane`,
  )
  say(
    `  refit and rebuild                ${seconds(refit.ms)} = ${(refit.ms / streaming).toFixed(2)} times streaming, ${mib(refit)}`,
  )
  const visits = await visitsToWorkDue(business.businessId, VISITS)
  const toWorkDue = visits.map((visit) => visit.written + visit.read)
  say(
    `  one visit until Work due shows it ${Math.round(median(toWorkDue))} ms, slowest of ${VISITS} ${Math.round(Math.max(...toWorkDue))} ms ` +
      `= one ${count(Math.round(rebuild.ms / median(toWorkDue)))}th of a rebuild ` +
      `(written in ${Math.round(median(visits.map((visit) => visit.written)))} ms, Work due read in ${Math.round(median(visits.map((visit) => visit.read)))} ms)`,
  )
})

function mib(answer: StepAnswer): string {
  return `at most ${Math.round(answer.peakMiB)} MiB`
}

async function runStep(name: string, businessId: string): Promise<StepAnswer> {
  const file = path.join(import.meta.dirname, 'rebuild-step.ts')
  const run = promisify(execFile)
  const { stdout } = await run(
    process.execPath,
    ['--conditions=react-server', '--import', 'tsx', file, name, businessId, String(LAST_DAY)],
    { maxBuffer: 1 << 20 },
  )
  return JSON.parse(stdout.trim().split('\n').at(-1) ?? '')
}
