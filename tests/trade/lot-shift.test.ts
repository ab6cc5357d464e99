// Lots of stated truth: no shift anywhere, or one lot whose tanks fall in alkalinity.
import { describe, expect, test } from 'vitest'
import { seededRandom } from '@/lib/science'
import { findLotShifts, type LotUse, type Quantity, type ReadingSeries } from '@/lib/trade'

const TANKS = 31
const ON_LOT = 11

type Truth = { shift: number }

/** Tanks of one route: readings every fortnight that wander about the tank's own level and with the season; two lots of salt and one reagent. */
function makeRoute(seed: number, { shift }: Truth): { lots: LotUse[]; series: ReadingSeries[] } {
  const random = seededRandom(seed)
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
  const tank = (number: number) => `tank ${String(number).padStart(2, '0')}`
  const firstDays = Array.from({ length: ON_LOT }, () => 200 + Math.floor(20 * random()))
  const levels: [Quantity, number, number][] = [
    ['alkalinity', 2.9, 0.12],
    ['calcium', 425, 9],
    ['nitrate', 9, 2],
    ['salinity', 34.8, 0.3],
    ['pH', 8.1, 0.08],
  ]
  const series = levels.flatMap(([quantity, level, noise]) =>
    Array.from({ length: TANKS }, (_, number): ReadingSeries => {
      const own = level + 2 * noise * normal()
      let wander = 0
      const values = Array.from({ length: 26 }, (_visit, visit) => {
        const day = visit * 14 + (number % 7)
        wander = 0.5 * wander + 0.6 * noise * normal()
        const onLot = quantity === 'alkalinity' && day > (firstDays[number] ?? Number.POSITIVE_INFINITY)
        const season = noise * Math.sin(day / 58)
        return { day, value: own + wander + season + noise * normal() + (onLot ? shift : 0) }
      })
      return { tank: tank(number), quantity, values }
    }),
  )
  const lots: LotUse[] = [
    {
      lot: 'suspect',
      kind: 'salt',
      tanks: firstDays.map((firstUsedDay, number) => ({ tank: tank(number), firstUsedDay })),
    },
    {
      lot: 'other salt',
      kind: 'salt',
      tanks: Array.from({ length: 9 }, (_, number) => ({ tank: tank(20 + number), firstUsedDay: 190 + number })),
    },
    {
      lot: 'reagent',
      kind: 'reagent',
      tanks: Array.from({ length: 15 }, (_, number) => ({ tank: tank(2 * number), firstUsedDay: 250 })),
    },
  ]
  return { lots, series }
}

const ROUTES = 300
const tally = (shift: number, seed: number) => {
  let [found, wrong, routesWithWrong, falseShare] = [0, 0, 0, 0]
  for (let route = 0; route < ROUTES; route++) {
    const { lots, series } = makeRoute(seed + route, { shift })
    const named = findLotShifts(lots, series).filter((one) => one.found)
    const right = named.filter((one) => shift !== 0 && one.lot === 'suspect' && one.quantity === 'alkalinity')
    found += right.length
    wrong += named.length - right.length
    if (named.length > right.length) routesWithWrong++
    if (named.length > 0) falseShare += (named.length - right.length) / named.length / ROUTES
  }
  return { found, wrong, routesWithWrong, falseShare }
}

describe('three lots, five quantities, 300 routes', () => {
  const none = tally(0, 1_000)
  const planted = tally(-0.3, 5_000)

  test(`without a shift at most one route in twenty hears a false claim (${none.routesWithWrong} of ${ROUTES})`, () => {
    // Nothing is true, so the false-discovery rate is the chance of any claim (Benjamini & Hochberg 1995): 15 expected at most, standard error 3.8.
    expect(none.routesWithWrong).toBeLessThanOrEqual(0.05 * ROUTES + 3 * Math.sqrt(0.05 * 0.95 * ROUTES))
  })

  test(`a fall of 0.3 meq/L over 11 tanks is found (${planted.found} of ${ROUTES}; false share ${planted.falseShare.toFixed(3)})`, () => {
    expect(planted.found / ROUTES).toBeGreaterThan(0.8)
    // The false-discovery rate is the mean over routes of the share that is false.
    expect(planted.falseShare).toBeLessThanOrEqual(0.05 + 3 * Math.sqrt((0.05 * 0.95) / ROUTES))
  })
})

describe('what is said', () => {
  const day = (number: number) => number * 14
  const flat = (tank: string, after: number): ReadingSeries => ({
    tank,
    quantity: 'alkalinity',
    values: Array.from({ length: 10 }, (_, visit) => ({ day: day(visit), value: visit <= 4 ? 3 : after })),
  })
  const onLot = Array.from({ length: 11 }, (_, number) => flat(`a${number}`, number < 9 ? 2.6 : 3))
  const others = Array.from({ length: 20 }, (_, number) => flat(`b${number}`, number < 3 ? 2.7 : 3))
  const tanks = onLot.map(({ tank }) => ({ tank, firstUsedDay: day(4) }))

  test('the lot, the counts on both sides, the median with its unit', () => {
    const [shift] = findLotShifts([{ lot: 'L1', kind: 'salt', tanks }], [...onLot, ...others])
    expect(shift?.found).toBe(true)
    expect(shift?.words).toBe(
      'Against the other tanks 9 of 11 on this lot fell in alkalinity by 0.2 meq/L or more (median change −0.4 meq/L, of the others 0 meq/L; 3 of 20 others did so). Test again with a fresh kit or a reference solution, then test a new mix; it could equally be the other batch.',
    )
  })

  test('a lot that stays where it was while the whole route rises with the season has fallen, and is named', () => {
    const still = Array.from({ length: 11 }, (_, number) => flat(`a${number}`, number < 9 ? 3 : 3.4))
    const rising = Array.from({ length: 20 }, (_, number) => flat(`b${number}`, number < 3 ? 3 : 3.4))
    const [shift] = findLotShifts([{ lot: 'L1', kind: 'salt', tanks }], [...still, ...rising])
    expect(shift).toMatchObject({ found: true, direction: 'fell', moved: 9, othersMoved: 3 })
    expect(shift?.words).toContain('median change 0 meq/L, of the others +0.4 meq/L')
  })

  test('of two lots that part the route between them the one is named whose own tanks changed', () => {
    const rest = others.map(({ tank }) => ({ tank, firstUsedDay: day(4) }))
    const both: LotUse[] = [
      { lot: 'A, in the other tanks', kind: 'salt', tanks: rest },
      { lot: 'B', kind: 'salt', tanks },
    ]
    const found = findLotShifts(both, [...onLot, ...others]).filter((one) => one.found)
    expect(found.map(({ lot, direction, notToldApartFrom }) => [lot, direction, notToldApartFrom])).toEqual([
      ['B', 'fell', ['A, in the other tanks']],
    ])
  })

  test('a reagent may move the reading and not the water', () => {
    const [shift] = findLotShifts([{ lot: 'L1', kind: 'reagent', tanks }], [...onLot, ...others])
    expect(shift?.words).toMatch(/test a standard first/)
  })

  test('too few tanks on either side say nothing; readings after the next lot do not count', () => {
    expect(findLotShifts([{ lot: 'L1', kind: 'salt', tanks: tanks.slice(0, 3) }], [...onLot, ...others])).toEqual([])
    expect(findLotShifts([{ lot: 'L1', kind: 'salt', tanks }], onLot)).toEqual([])
    const cut = tanks.map((tank) => ({ ...tank, untilDay: day(5) - 1 }))
    expect(findLotShifts([{ lot: 'L1', kind: 'salt', tanks: cut }], [...onLot, ...others])).toEqual([])
  })
})
