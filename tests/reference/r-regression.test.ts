import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { describe, expect, test } from 'vitest'
import { fitWeibull, fitWeibullRegression, NotEstimable, sampleLife, seededRandom } from '@/lib/science'

// Side by side with survreg of R's survival package (Therneau, CRAN): random data sets of exact, interval- and right-censored lives with a yes-or-no covariate of the
// cluster and a number of each life. The scores of survreg's own cluster option do not sum to 0 once rows are interval-censored, so the cluster-robust errors are held against
// scores that R differentiates numerically from the likelihood written out, as in r-survival.test.ts.
const hasR = spawnSync('Rscript', ['-e', 'library(survival)']).status === 0
if (!hasR)
  console.warn('Skipped: comparison with R survival, because Rscript with the package survival is not installed.')

const SETS = 120

function randomSet(random: () => number) {
  const shape = Math.exp(-0.5 + 1.6 * random())
  const level = 8 * random()
  const effects = [2 * random() - 1, random() - 0.5]
  const every = Math.exp(level) * (0.1 + 0.5 * random())
  return Array.from({ length: 30 + Math.floor(150 * random()) }, (_, i) => {
    const cluster = i % 15
    const covariates = [1, cluster < 6 ? 1 : 0, random() * 3]
    const scale = Math.exp(level + (covariates[1] ?? 0) * (effects[0] ?? 0) + (covariates[2] ?? 0) * (effects[1] ?? 0))
    const life = sampleLife({ shape, scale }, random)
    const end = scale * 3 * random() + every
    const seen = (1 + Math.floor(life / every)) * every
    const row = { cluster: `tank ${cluster}`, covariates }
    if (life > end) return { ...row, lower: end, upper: Infinity }
    return random() < 0.3
      ? { ...row, lower: life, upper: life }
      : { ...row, lower: Math.max(seen - every, every / 100), upper: seen }
  })
}

describe.skipIf(!hasR)('fitWeibullRegression beside R survreg', () => {
  test('agrees on coefficients, plain and tank-clustered errors, shape and likelihood', () => {
    const random = seededRandom(77)
    const sets = Array.from({ length: SETS }, () => randomSet(random))
    const folder = mkdtempSync(path.join(tmpdir(), 'r-regression-'))
    const file = path.join(folder, 'sets.csv')
    const lines = sets.flatMap((rows, set) =>
      rows.map(({ lower, upper, covariates: [, x1, x2], cluster }) =>
        [set, lower, upper === Infinity ? 'Inf' : upper, x1, x2, cluster].join(','),
      ),
    )
    writeFileSync(file, `set,lower,upper,x1,x2,cluster\n${lines.join('\n')}\n`)
    const script = path.join(import.meta.dirname, 'r-regression.R')
    const output = execFileSync('Rscript', [script, file], { encoding: 'utf8' })
    rmSync(folder, { recursive: true, force: true })
    let compared = 0
    for (const line of output.trim().split('\n')) {
      const [set = -1, ...numbers] = line.split(',').map(Number)
      const rows = sets[set]
      if (!rows || numbers.at(-1) === 1) continue
      const plain = fitWeibullRegression(rows)
      const robust = fitWeibullRegression(rows, { cluster: rows.map(({ cluster }) => cluster) })
      const ours = [...plain.coefficients, ...plain.standardErrors, ...robust.standardErrors]
      ours.push(plain.shape, plain.logLikelihood)
      ours.forEach((value, i) => {
        const theirs = numbers[i] ?? Number.NaN
        expect({ set, i, near: Math.abs(value - theirs) <= 1e-5 * Math.max(1, Math.abs(theirs)) }).toEqual({
          set,
          i,
          near: true,
        })
      })
      compared += 1
    }
    console.info(`R survreg with covariates: ${compared} of ${SETS} compared`)
    expect(compared).toBeGreaterThan(SETS * 0.9)
  })
})

describe('fitWeibullRegression', () => {
  test('with an intercept alone its tank-clustered errors are those of the clustered plain fit', () => {
    const random = seededRandom(3)
    for (let round = 0; round < 20; round++) {
      const rows = randomSet(random)
      const cluster = rows.map((row) => row.cluster)
      const plain = fitWeibull(rows, { cluster })
      const fit = fitWeibullRegression(
        rows.map((row) => ({ ...row, covariates: [1] })),
        { cluster },
      )
      expect(Math.abs((fit.standardErrors[0] ?? 0) / plain.standardErrors.logScale - 1)).toBeLessThan(1e-6)
      expect(Math.abs(fit.standardErrorLogShape / plain.standardErrors.logShape - 1)).toBeLessThan(1e-6)
    }
  })

  test('gives finite numbers or a reason in words, whatever the data', () => {
    const random = seededRandom(8)
    let answered = 0
    for (let round = 0; round < 300; round++) {
      const unit = 10 ** (20 * random() - 10)
      const rows = Array.from({ length: 1 + Math.floor(25 * random()) }, () => {
        const lower = random() < 0.2 ? 0 : unit * Math.floor(1 + 5 * random())
        const upper = random() < 0.3 && lower > 0 ? Infinity : lower + unit * Math.floor(3 * random())
        return {
          lower,
          upper: upper === 0 ? unit : upper,
          covariates: [1, Math.floor(2 * random()), random() < 0.5 ? 1 : 1e6 * random()],
        }
      })
      const cluster = rows.map((_, i) => `${i % 4}`)
      try {
        const fit = fitWeibullRegression(rows, random() < 0.5 ? {} : { cluster })
        const numbers = [
          ...fit.coefficients,
          ...fit.standardErrors,
          fit.shape,
          fit.standardErrorLogShape,
          fit.logLikelihood,
        ]
        expect(numbers.every(Number.isFinite)).toBe(true)
        answered += 1
      } catch (error) {
        if (!(error instanceof RangeError)) throw error
        expect(error.message.length).toBeGreaterThan(20)
        if (error instanceof NotEstimable) expect(error.code).toBeTruthy()
      }
    }
    expect(answered).toBeGreaterThan(60)
  })
})
