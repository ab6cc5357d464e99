// Twenty simulated businesses of stated truth: three tanks each clog their wheel eight times as fast, all else is alike.
import { describe, expect, test } from 'vitest'
import { makeRecords, type RecordRow, SIMULATED_MODES } from '../simulation/make-records'
import { faultsOfMode } from './old-records/faults-of-mode'
import { cleanRows, lanesOf } from './old-records/read-records'

const BUSINESSES = 20
const PLANTED = 'protein skimmer / wheel clogged'

describe('repeat faults in simulated businesses', () => {
  const counts = { planted: 0, plantedSure: 0, falseSure: 0, families: 0, familiesWithFalse: 0 }
  for (let seed = 101; seed < 101 + BUSINESSES; seed++) {
    const business = makeRecords(seed)
    const names = business.tanks.map((tank) => tank.name)
    const lanes = lanesOf(cleanRows(business.visits satisfies RecordRow[], names))
    counts.planted += business.truth.offenders.length
    for (const [equipment, mode] of SIMULATED_MODES) {
      const key = `${equipment} / ${mode}`
      const sure = faultsOfMode(
        lanes.filter((lane) => lane.key === key),
        30_000,
      ).filter((fault) => fault.sure)
      const isPlanted = (tank: string) => key === PLANTED && business.truth.offenders.includes(tank)
      const wrong = sure.filter((fault) => !isPlanted(fault.tank)).length
      counts.plantedSure += sure.length - wrong
      counts.falseSure += wrong
      counts.families += 1
      if (wrong > 0) counts.familiesWithFalse += 1
    }
  }
  const said = `${counts.plantedSure} of ${counts.planted} planted tanks sure; ${counts.falseSure} false, in ${counts.familiesWithFalse} of ${counts.families} class × mode lists`

  test(`false discoveries stay within the rate (${said})`, () => {
    // Benjamini–Hochberg at q: a list where nothing is wrong names somebody with a chance of at most q (Benjamini & Hochberg
    // 1995, J. R. Stat. Soc. B 57:289). 200 lists at 0.05: 10 expected at most.
    expect(counts.familiesWithFalse, said).toBeLessThanOrEqual(0.05 * counts.families)
    expect(counts.falseSure / (counts.falseSure + counts.plantedSure), said).toBeLessThanOrEqual(0.05)
  })

  test('most planted tanks are found', () => {
    expect(counts.plantedSure / counts.planted, said).toBeGreaterThan(0.9)
  })
})
