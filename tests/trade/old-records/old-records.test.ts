// R's survival::survreg (3.5), Weibull, Surv(type = "interval2"), on the same rows: expected-lives.json beside the sample.
import { describe, expect, test } from 'vitest'
import { fitWeibull } from '@/lib/science'
import { livesForPlainFit, livesOfLane } from '@/lib/trade'
import { expectedLives } from '../../reference/old-records/sample'
import { cleanRows, lanesOf, readSample } from './read-records'

const DAYS_PER_WEEK = 7

describe('old records', () => {
  const sample = readSample()
  const rows = cleanRows(sample.rows, sample.tankNames)
  const lanes = lanesOf(rows)

  test('nine wrong rows and twelve repeats go, everything else stays', () => {
    expect(sample.rows.length).toBe(15_600) // truth.json: rows.visit_rows
    expect(rows.length).toBe(15_600 - 9 - 12) // rows.visit_rows_wrong, rows.visit_row_duplicates
  })

  test.each(Object.entries(expectedLives()))('%s: lives and fit agree with R survival', (key, expected) => {
    const lives = livesForPlainFit(
      lanes.filter((lane) => lane.key === key).flatMap((lane) => livesOfLane(lane, { cutoffDay: 30_000 }).lives),
    )
    expect(lives.length).toBe(expected.lives)
    expect(lives.filter((life) => life.event).length).toBe(expected.events)
    const inWeeks = lives.map(({ observation: { lower, upper } }) => ({
      lower: lower / DAYS_PER_WEEK,
      upper: upper / DAYS_PER_WEEK,
    }))
    const fit = fitWeibull(inWeeks)
    expect(Math.abs(fit.scale / expected.scale_weeks - 1)).toBeLessThan(0.001)
    expect(Math.abs(fit.shape / expected.shape - 1)).toBeLessThan(0.001)
    expect(Math.abs(fit.logLikelihood - expected.loglik)).toBeLessThan(0.001)
  })
})
