import { describe, expect, test } from 'vitest'
import { seededRandom } from '@/lib/science'
import {
  classicCause,
  FAULT_FACTORS,
  type FaultFactor,
  failureModes,
  faultHints,
  measuredFactors,
  type TankFactors,
} from '@/lib/trade'

const route = (stringyOthers: number): TankFactors[] =>
  Array.from({ length: 43 }, (_, number) => ({
    tank: `t${number}`,
    factors: {
      stringyRefugium: number < 3 || number < 3 + stringyOthers,
      fineSand: number % 3 === 0,
      furryPets: false,
    },
  }))
const offenders = new Set(['t0', 't1', 't2'])

describe('hints to the cause of a repeat fault', () => {
  test('3 of 3 beside 5 of 40: 56 in 12,341 by chance (hypergeometric, counted by hand: C(8, 3) / C(43, 3))', () => {
    const [first] = faultHints(route(5), offenders)
    expect(first?.pValue).toBeCloseTo(56 / 12_341, 10)
    expect(first?.standsOut).toBe(true)
    expect(first?.words).toBe('3 of 3 tanks where it keeps coming back have a stringy refugium; 5 of 40 others do.')
  })

  test('a factor that nobody or everybody has is not asked; unknown tanks do not count', () => {
    expect(faultHints(route(5), offenders).map((hint) => hint.factor)).toEqual(['stringyRefugium', 'fineSand'])
    expect(faultHints(route(5), new Set())).toEqual([])
    expect(faultHints(route(5).slice(0, 5), offenders)).toEqual([])
  })

  test('figures split at the middle of the route', () => {
    const factors = measuredFactors(
      [1, 2, 3, 4, undefined].map((years, number) => ({ tank: `t${number}`, deviceAgeDays: years })),
    )
    expect(factors.map(({ factors: { olderDevice } }) => olderDevice)).toEqual([false, false, true, true, undefined])
  })

  test('with nothing behind it a list is given a hint in at most one case of twenty', () => {
    // Truth: nine factors at random, three offenders at random; 500 routes, 25 expected at most, standard error 4.9.
    const random = seededRandom(9)
    let named = 0
    for (let run = 0; run < 500; run++) {
      const tanks = Array.from({ length: 43 }, (_, number) => ({
        tank: `t${number}`,
        factors: Object.fromEntries(
          (Object.keys(FAULT_FACTORS) as FaultFactor[]).map((factor) => [factor, random() < 0.3]),
        ),
      }))
      if (faultHints(tanks, offenders).some((hint) => hint.standsOut)) named++
    }
    expect(named).toBeLessThanOrEqual(40)
  })

  test('every classic cause belongs to a mode of the catalogue', () => {
    const known = failureModes.filter(({ slug }) => classicCause(slug))
    expect(known.length).toBe(24)
    expect(classicCause('protein-skimmer/wheel-clogged')).toMatchObject({ factor: 'stringyRefugium' })
    expect(classicCause('nobody/knows')).toBeNull()
  })
})
