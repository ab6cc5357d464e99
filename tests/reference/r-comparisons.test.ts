import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { describe, expect, test } from 'vitest'
import { fisherExactUpper, mantelHaenszel, poissonRateRatio, rankSumTest, seededRandom } from '@/lib/science'

// Side by side with R's package stats: poisson.test, wilcox.test, fisher.test and mantelhaen.test on random data.
const hasR = spawnSync('Rscript', ['-e', '0']).status === 0
if (!hasR)
  console.warn('Skipped: comparison with R of rate ratios, rank sums and tables, because Rscript is not installed.')

const EACH = 60
type Case = { row: string[]; ours: number[] }

const random = seededRandom(4_711)
const whole = (most: number) => Math.floor(random() * (most + 1))

function ratioCase(): Case {
  const [one, other] = [whole(30), whole(30)]
  const [t, u] = [0.1 + 9 * random(), 0.1 + 9 * random()]
  const { lower, upper, pLower } = poissonRateRatio({ count: one, exposure: t }, { count: other, exposure: u }, 0.9)
  return { row: ['ratio', `${one}`, `${other}`, `${t}`, `${u}`, '', ''], ours: [lower, upper, pLower] }
}

function ranksCase(index: number): Case {
  // Small ones without ties, for R counts them exactly; large ones with ties, where both use the normal law.
  const large = index % 2 === 1
  const draw = (n: number, shift: number) =>
    Array.from({ length: n }, () => (large ? Math.round(15 * (random() + shift)) : random() + shift))
  const one = draw(large ? 20 + whole(30) : 2 + whole(12), 0.3 * random())
  const other = draw(large ? 35 + whole(30) : 2 + whole(12), 0)
  const { statistic, pLower, pHigher } = rankSumTest(one, other)
  return { row: ['ranks', '', '', '', '', one.join(' '), other.join(' ')], ours: [statistic, pLower, pHigher] }
}

function fisherCase(): Case {
  const [withBoth, outcomeOnly, factorOnly, neither] = [whole(8), 1 + whole(20), 1 + whole(8), 1 + whole(60)] as const
  const ours = [fisherExactUpper({ withBoth, outcomeOnly, factorOnly, neither })]
  return { row: ['fisher', ...[withBoth, outcomeOnly, factorOnly, neither].map(String), '', ''], ours }
}

function strataCase(): Case {
  const tables = Array.from({ length: 2 + whole(6) }, () => ({
    withBoth: 1 + whole(9),
    outcomeOnly: 1 + whole(9),
    factorOnly: 1 + whole(9),
    neither: 1 + whole(30),
  }))
  const found = mantelHaenszel(tables, 0.9)
  const cells = tables.flatMap(({ withBoth, outcomeOnly, factorOnly, neither }) => [
    withBoth,
    outcomeOnly,
    factorOnly,
    neither,
  ])
  return {
    row: ['strata', '', '', '', '', cells.join(' '), ''],
    ours: found ? [found.oddsRatio, found.lower, found.upper, found.pValue] : [],
  }
}

describe.skipIf(!hasR)('beside R stats', () => {
  const cases = Array.from({ length: EACH }, (_, index) => [
    ratioCase(),
    ranksCase(index),
    fisherCase(),
    strataCase(),
  ]).flat()

  test(`${cases.length} random cases agree within one part in a hundred thousand`, () => {
    const folder = mkdtempSync(path.join(tmpdir(), 'r-comparisons-'))
    try {
      const file = path.join(folder, 'cases.csv')
      writeFileSync(file, `kind,a,b,c,d,x,y\n${cases.map(({ row }) => row.join(',')).join('\n')}\n`)
      const output = execFileSync('Rscript', [path.join(import.meta.dirname, 'r-comparisons.R'), file], {
        encoding: 'utf8',
      })
      const lines = output.trim().split('\n')
      expect(lines).toHaveLength(cases.length)
      const off = cases.flatMap(({ row, ours }, index) => {
        const theirs = (lines[index] ?? '').split(',').map((word) => (word === 'Inf' ? Infinity : Number(word)))
        const near = ours.every((value, place) => {
          const other = theirs[place] ?? Number.NaN
          // R's poisson.test finds its limits by binom.test, which bisects to about 1e-8 of the share.
          return value === other || Math.abs(value - other) <= 1e-5 * Math.max(1e-6, Math.abs(other))
        })
        return near && ours.length === theirs.length ? [] : [{ row, ours, theirs }]
      })
      expect(off).toEqual([])
    } finally {
      rmSync(folder, { recursive: true, force: true })
    }
  })
})
