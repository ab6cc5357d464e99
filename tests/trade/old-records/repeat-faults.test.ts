// truth.json beside the sample names the three tanks whose wheel was made to clog eight times as fast.
import { describe, expect, test } from 'vitest'
import { expectedLives, sampleTruth } from '../../reference/old-records/sample'
import { faultsOfMode } from './faults-of-mode'
import { cleanRows, lanesOf, readSample } from './read-records'

describe('repeat faults in the old records', () => {
  const sample = readSample()
  const lanes = lanesOf(cleanRows(sample.rows, sample.tankNames))
  const sureOf = (key: string) =>
    faultsOfMode(
      lanes.filter((lane) => lane.key === key),
      30_000,
    ).filter((fault) => fault.sure)

  test('exactly the three planted tanks are sure for the clogged wheel', () => {
    const sure = sureOf('protein skimmer / wheel clogged').map((fault) => fault.tank)
    expect(sure.sort()).toEqual(sampleTruth().offenders.sort())
  })

  test('at most one other pair over all modes is sure', () => {
    const others = Object.keys(expectedLives())
      .filter((key) => key !== 'protein skimmer / wheel clogged')
      .flatMap((key) => sureOf(key).map((fault) => `${key}: ${fault.tank}`))
    expect(others.length, others.join('; ')).toBeLessThanOrEqual(1)
  })
})
