import { describe, expect, test } from 'vitest'
import { type BalanceVerdict, saltAndWaterBalance, seededRandom } from '@/lib/science'

// Held against a tank kept day by day, with readings that err; no outside source is needed for where water and salt go.
const random = seededRandom(77)
const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
const SALINITY_SD = 0.15

type Truth = {
  evaporates: number
  leaks?: number
  skims?: number
  reservoirLeaks?: number
  poured?: number
  saltTopUp?: boolean
}

/** Four weeks: vapour, tank water lost, then the level made up. */
function weeks(
  { evaporates, leaks = 0, skims = 0, reservoirLeaks = 0, poured = 0, saltTopUp = false }: Truth,
  days = 28,
) {
  const volume = 400
  let salt = volume * 35
  let toppedUp = 0
  for (let day = 0; day < days; day += 1) {
    salt -= (leaks + skims) * (salt / volume)
    const madeUp = evaporates + leaks + skims
    salt += saltTopUp ? 35 * madeUp : 0
    // What somebody pours in from a can is missing from the reservoir's count.
    toppedUp += madeUp + reservoirLeaks - poured
  }
  const read = (salinity: number) => salinity + SALINITY_SD * normal()
  return {
    volume,
    toppedUp: Math.max(0, toppedUp + 2 * normal()),
    toppedUpSd: 2,
    salinity: { first: read(35), last: read(salt / volume), sd: SALINITY_SD },
    skimmed: skims * days,
    evaporation: { litres: evaporates * days, sd: 6 },
  }
}

function shareOf(verdict: BalanceVerdict, truth: Truth, without: ('skimmed' | 'evaporation')[] = []): number {
  let found = 0
  for (let run = 0; run < 400; run += 1) {
    const seen = weeks(truth)
    const left = { ...seen, ...Object.fromEntries(without.map((key) => [key, undefined])) }
    if (saltAndWaterBalance(left).verdict === verdict) found += 1
  }
  return found / 400
}

describe('salt and water', () => {
  test('a tight tank is in balance about 19 times in 20 or more', () => {
    expect(shareOf('in-balance', { evaporates: 5 })).toBeGreaterThan(0.9)
    expect(shareOf('in-balance', { evaporates: 5 }, ['evaporation'])).toBeGreaterThan(0.93)
  })
  test.each([
    ['slow-leak', { evaporates: 5, leaks: 0.5 }],
    ['slow-leak', { evaporates: 5, leaks: 0.5, skims: 0.1 }],
    ['wet-skimmer', { evaporates: 5, skims: 0.5 }],
    ['fresh-water-lost', { evaporates: 5, reservoirLeaks: 1 }],
    ['uncounted-fresh-water', { evaporates: 0.2, leaks: 1, poured: 1.1 }],
    ['salt-gained', { evaporates: 3, saltTopUp: true }],
  ] satisfies [BalanceVerdict, Truth][])('%s is named for %o', (verdict, truth) => {
    expect(shareOf(verdict, truth)).toBeGreaterThan(0.9)
  })
  test('a skimmer that nobody measured leaves two explanations', () => {
    expect(shareOf('leak-or-skimmer', { evaporates: 5, skims: 0.5 }, ['skimmed'])).toBeGreaterThan(0.9)
  })
  test('fresh water: the same leak by water alone, where the evaporation is known', () => {
    const water = { volume: 400, evaporation: { litres: 140, sd: 6 }, toppedUpSd: 2, skimmed: 0 }
    expect(saltAndWaterBalance({ ...water, toppedUp: 156 })).toMatchObject({
      verdict: 'slow-leak',
      lostWithSalt: null,
      leaked: { litres: 16, sd: Math.hypot(6, 2) },
    })
    expect(saltAndWaterBalance({ ...water, toppedUp: 150 }).verdict).toBe('in-balance')
    expect(() => saltAndWaterBalance({ volume: 400, toppedUp: 10 })).toThrow(/neither/)
  })
  test('water that may have gone with its salt is not counted as gone without it as well', () => {
    // 5 L by salinity (not clear), 14 L by water: 9 L are in question, with a standard deviation of 6.8 L.
    const seen = {
      volume: 400,
      toppedUp: 154,
      salinity: { first: 35, last: 35 * Math.exp(-5 / 400), sd: 0.2 },
      evaporation: { litres: 140, sd: 6 },
    }
    expect(saltAndWaterBalance(seen).verdict).toBe('in-balance')
    expect(saltAndWaterBalance({ ...seen, toppedUp: 160 }).verdict).toBe('fresh-water-lost')
  })
  test('without errors the loss by salinity is the loss by water', () => {
    const [volume, lost] = [400, 14]
    const { lostWithSalt, lostByWater } = saltAndWaterBalance({
      volume,
      toppedUp: 100 + lost,
      evaporation: { litres: 100, sd: 0 },
      salinity: { first: 35, last: 35 * (1 - lost / volume / 1e5) ** 1e5, sd: 0 },
    })
    expect(lostByWater?.litres).toBe(14)
    expect(lostWithSalt?.litres).toBeCloseTo(14, 4)
  })
  test('the stated sd is that of the loss (2,000 pairs of readings)', () => {
    const losses = Array.from({ length: 2000 }, () => {
      const [first, last] = [35 + SALINITY_SD * normal(), 34 + SALINITY_SD * normal()]
      return saltAndWaterBalance({ volume: 400, toppedUp: 50, salinity: { first, last, sd: SALINITY_SD } }).lostWithSalt
    })
    const mean = losses.reduce((sum, loss) => sum + (loss?.litres ?? 0), 0) / 2000
    const spread = Math.sqrt(losses.reduce((sum, loss) => sum + ((loss?.litres ?? 0) - mean) ** 2, 0) / 1999)
    expect(spread / (losses[0]?.sd ?? 0)).toBeGreaterThan(0.95)
    expect(spread / (losses[0]?.sd ?? 0)).toBeLessThan(1.05)
  })
})
