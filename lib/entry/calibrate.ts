import { OperatorError } from '@/lib/platform/config/operator-error'
import {
  type CalibrationSummary,
  calibrateDelayOnce,
  calibrateOnce,
  seededRandom,
  summariseCalibration,
  type Truth,
} from '@/lib/science'
import { readArguments } from './command-line'
import { runCommand } from './run-command'

const USAGE = `npm run calibrate [-- --businesses 2000] [--seed 1] [--kept] [--delay]

Simulates businesses whose truth is known and says how often the 90 % intervals of the life model hold it. With --kept the models are
kept at few points, as the nightly job keeps them. With --delay the same for the delay-time model behind "how often to come".
Exit code 1 when the run with truths from the stated prior fails; the misspecified run is reported only.`

type Request = { businesses: number; seed: number; kept: boolean }

/** As in `lib/office/due/life-models.ts`, which this file does not load. */
const KEPT = { explored: 128, points: 24 }

function run(truth: Truth, { businesses, seed, kept }: Request): CalibrationSummary {
  const random = seededRandom(seed)
  return summariseCalibration(
    Array.from({ length: businesses }, () => calibrateOnce(truth, random, kept ? KEPT : undefined)),
  )
}

const percent = (share: number) => `${(100 * share).toFixed(1)} %`

function say(title: string, seed: number, summary: CalibrationSummary): void {
  const { gainOverTrade: trade, gainOverExponential: exponential } = summary
  console.info(`${title} (${summary.businesses} businesses, seed ${seed})`)
  console.info(
    `  90 % intervals hold the true median life: ${percent(summary.coverage90)} (chance alone ± ${percent(1.96 * summary.coverageError)})`,
  )
  console.info(
    `  ranks differ from uniform by ${summary.rankDistance.toFixed(4)} at most (99 % band ${summary.rankBand.toFixed(4)})`,
  )
  console.info(
    `  log score of the next life: ${trade.mean.toFixed(3)} ± ${trade.error.toFixed(3)} above the trade's Weibull, ${exponential.mean.toFixed(3)} ± ${exponential.error.toFixed(3)} above an exponential`,
  )
}

/** As in `lib/trade/how-often.ts`, which this room does not see. */
const DELAY_PRIOR = { median: 56, sdOfLog: 1.2 }

/** The delay-time model: 90 % intervals of the delay, of a tank's rate and of its cost, over routes drawn from the stated priors. */
function judgeDelay({ businesses, seed }: Request): void {
  const random = seededRandom(seed)
  const runs = Array.from({ length: businesses }, () => calibrateDelayOnce(random, DELAY_PRIOR))
  const error = Math.sqrt((0.9 * 0.1) / businesses)
  console.info(`Delay-time model (${businesses} routes, seed ${seed}; chance alone ± ${percent(1.96 * error)})`)
  for (const key of ['meanDelay', 'defectRate', 'costRate'] as const) {
    const share = runs.filter((run) => run[key]).length / businesses
    console.info(`  90 % intervals hold the true ${key}: ${percent(share)}`)
    // The nodes of the posterior are few: a point and a half is left to them.
    if (Math.abs(share - 0.9) > 2.58 * error + 0.015) process.exitCode = 1
  }
}

function judgeLifeModel(request: Request): void {
  const { businesses, seed } = request
  const stated = run('stated', request)
  say('Truths from the stated prior', seed, stated)
  say(
    'Misspecified: one bad tank in eight, log-normal lives (reported, not judged)',
    seed,
    run('misspecified', { ...request, businesses: Math.max(2, Math.round(businesses / 4)) }),
  )

  const coverageHolds = Math.abs(stated.coverage90 - 0.9) <= 2.58 * stated.coverageError
  const ranksHold = stated.rankDistance <= stated.rankBand
  if (!coverageHolds || !ranksHold) {
    console.error('The life model is not calibrated: its intervals hold the truth too seldom or too often.')
    process.exitCode = 1
  }
}

/** `npm run calibrate`: see USAGE. */
await runCommand(async () => {
  const { values } = readArguments({
    usage: USAGE,
    options: {
      businesses: { type: 'string', default: '2000' },
      seed: { type: 'string', default: '1' },
      delay: { type: 'boolean', default: false },
      kept: { type: 'boolean', default: false },
    },
  })
  const request = { businesses: Number(values.businesses), seed: Number(values.seed), kept: values.kept }
  if (!Number.isInteger(request.businesses) || request.businesses < 2)
    throw new OperatorError('--businesses must be a whole number of 2 or more.')
  if (values.delay) judgeDelay(request)
  else judgeLifeModel(request)
})
