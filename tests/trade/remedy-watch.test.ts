import { describe, expect, test } from 'vitest'
import { fitRateSpread, poissonRateRatio, seededRandom } from '@/lib/science'
import { changeSince, countFaults, type FaultCell, faultCells, type Life, splitAt, watchRemedy } from '@/lib/trade'

const model = { shape: 2, scaleDays: 100 }
const life = (startDay: number, lookAges: number[], event: boolean): Life => ({
  observation: event
    ? { lower: lookAges.at(-2) ?? 0, upper: lookAges.at(-1) ?? 1 }
    : { lower: lookAges.at(-1) ?? 1, upper: Infinity },
  startDay,
  endDay: startDay + (lookAges.at(-1) ?? 0),
  event,
  lookAges,
  from: [],
})

describe('needs and expected needs by day', () => {
  const lives = [
    life(0, [14, 28], true),
    life(28, [14, 28, 42], false),
    { ...life(5, [10], true), unknownAge: { lower: 0, upper: 10 } },
  ]

  test('add up to what repeat faults count', () => {
    const cells = faultCells(lives, model)
    const counted = countFaults(lives, model)
    expect(cells.reduce((sum, cell) => sum + cell.count, 0)).toBe(counted.observed)
    expect(cells.reduce((sum, cell) => sum + cell.expected, 0)).toBeCloseTo(counted.expected, 12)
    expect(cells.map((cell) => cell.day)).toEqual([14, 28, 42, 56, 70])
  })

  test('a need of the day itself was there before', () => {
    expect(splitAt(faultCells(lives, model), 28)).toMatchObject({ before: { count: 1 }, since: { count: 0 } })
  })

  test('more looks after a date make no change: the expectation over the same time stays', () => {
    const seldom = changeSince(faultCells([life(0, [14, 28, 42, 56], false)], model), 28)
    const often = changeSince(faultCells([life(0, [14, 28, 30, 35, 40, 45, 50, 56], false)], model), 28)
    // Σ (1 − S(b)/S(a)) over finer looks is a little more, since it counts a chance over and over among those still fine: within 10 % here.
    expect(often.since.expected / seldom.since.expected).toBeGreaterThan(1)
    expect(often.since.expected / seldom.since.expected).toBeLessThan(1.1)
  })
})

describe('watching a remedy', () => {
  const cells = (before: [number, number], since: [number, number]): FaultCell[] => [
    { day: 50, count: before[0], expected: before[1] },
    { day: 150, count: since[0], expected: since[1] },
  ]

  test('fell: said with the counts, before any figure', () => {
    const watch = watchRemedy(cells([9, 3.1], [1, 4.2]), 100, 200)
    expect(watch.state).toBe('fell')
    expect(watch.words).toBe(
      '1 need where tanks like it show 4.2; before, 9 where they show 3.1: fell, very likely (judged after 13 weeks).',
    )
  })

  test('too early: how long until it can be told', () => {
    const watch = watchRemedy(cells([6, 2], [0, 0.3]), 100, 128)
    expect(watch.state).toBe('early')
    expect(watch.weeksMore).toBeGreaterThan(0)
    expect(watch.words).toMatch(/if none comes back, we can tell after about \d+ more weeks?\.$/)
    // After that long without a need it is told, and not before.
    const stateAfter = (weeks: number) => {
      const today = 128 + weeks * 7
      const since = { day: today, count: 0, expected: (0.3 * (today - 100)) / 28 }
      return watchRemedy([{ day: 50, count: 6, expected: 2 }, since], 100, today).state
    }
    expect(stateAfter(watch.weeksMore ?? 0)).toBe('fell')
    expect(stateAfter((watch.weeksMore ?? 0) - 1)).toBe('early')
  })

  test('not fallen: as many as before', () => {
    expect(watchRemedy(cells([9, 3], [14, 4]), 100, 400).state).toBe('not-fallen')
  })

  test('nobody has looked since, or nothing was found before', () => {
    expect(watchRemedy([{ day: 50, count: 4, expected: 1 }], 100, 110).state).toBe('unseen')
    expect(watchRemedy(cells([0, 2], [0, 1]), 100, 200).words).toMatch(/cannot be shown/)
  })
})

describe('simulations of stated truth', () => {
  /** A Poisson count by counting unit exponentials. */
  const poisson = (random: () => number, mean: number) => {
    let count = -1
    for (let sum = 0; sum < mean; count++) sum -= Math.log(1 - random())
    return Math.max(0, count)
  }

  const RUNS = 2000
  const truths = [0.2, 0.5, 1] as const
  const random = seededRandom(20_261)
  const shares = truths.map((truth) => {
    let covered = 0
    let saidFell = 0
    for (let run = 0; run < RUNS; run++) {
      const [before, since] = [1 + 4 * random(), 0.5 + 4 * random()]
      const [first, second] = [poisson(random, 3 * before), poisson(random, 3 * truth * since)]
      const { lower, upper } = poissonRateRatio(
        { count: second, exposure: since },
        { count: first, exposure: before },
        0.9,
      )
      if (lower <= truth && truth <= upper) covered++
      if (
        watchRemedy(
          [
            { day: 0, count: first, expected: before },
            { day: 9, count: second, expected: since },
          ],
          5,
          5 + 7 * 26,
          fitRateSpread([{ count: first, exposure: before }]),
        ).state === 'fell'
      )
        saidFell++
    }
    return { truth, covered: covered / RUNS, saidFell: saidFell / RUNS }
  })
  const said = shares
    .map(({ truth, covered, saidFell }) => `×${truth}: covered ${covered}, "fell" ${saidFell}`)
    .join('; ')

  test(`the exact 90 % interval covers at least 90 % (${said})`, () => {
    for (const { covered } of shares) expect(covered, said).toBeGreaterThan(0.9 - 3 * Math.sqrt(0.09 / RUNS))
  })

  test('a remedy that does nothing is said to have worked in at most 5 %, at counts this small one that takes away four needs in five is told in about half', () => {
    expect(shares[2]?.saidFell, said).toBeLessThanOrEqual(0.05 + 3 * Math.sqrt(0.0475 / RUNS))
    expect(shares[0]?.saidFell, said).toBeGreaterThan(0.4)
  })
})

describe('tanks chosen because much was found there', () => {
  /**
   * Truth: forty tanks whose rates differ by a Gamma of standard deviation 0.6 times the mean; two years of looks that would find three needs a year in a tank like the
   * others; the worst tank with twice as much as expected is given a remedy that does nothing (or takes away three needs in four) and looked at every week for three years.
   * For comparison: the two counts as they are, held against each other every week.
   */
  const RUNS = 500
  const random = seededRandom(77)
  const poisson = (mean: number) => {
    let count = -1
    for (let sum = 0; sum < mean; count++) sum -= Math.log(1 - random())
    return Math.max(0, count)
  }
  const gammaRate = () => {
    // Sum of squares of normals: a Gamma of shape 2.5 is half a chi-square with 5 degrees of freedom; its mean is made 1.
    let sum = 0
    for (let i = 0; i < 5; i++) sum += (Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())) ** 2
    return sum / 5
  }
  const watched = (effect: number) => {
    const said = { afterAYear: 0, ever: 0, plainEver: 0, tanks: 0 }
    while (said.tanks < RUNS) {
      const tanks = Array.from({ length: 40 }, () => ({ rate: gammaRate(), exposure: 6 }))
      const counted = tanks.map(({ rate, exposure }) => ({ rate, exposure, count: poisson(rate * exposure) }))
      const worst = counted.reduce((most, tank) => (tank.count > most.count ? tank : most))
      if (worst.count < 2 * worst.exposure) continue
      said.tanks++
      const spread = fitRateSpread(counted)
      let since = 0
      let ever = false
      let plainEver = false
      for (let week = 1; week <= 156; week++) {
        since += poisson((worst.rate * effect * 3) / 52)
        const cells: FaultCell[] = [
          { day: 0, count: worst.count, expected: worst.exposure },
          { day: 7 * week, count: since, expected: (3 * week) / 52 },
        ]
        plainEver ||= (changeSince(cells, 0).ratio?.pLower ?? 1) <= 0.05
        // Between the days of judgement the verdict is that of the last one.
        if (![13, 26, 39, 52, 104, 156].includes(week)) continue
        const fell = watchRemedy(cells, 0, 7 * week, spread).state === 'fell'
        ever ||= fell
        if (week === 52 && fell) said.afterAYear++
      }
      if (ever) said.ever++
      if (plainEver) said.plainEver++
    }
    return { afterAYear: said.afterAYear / RUNS, ever: said.ever / RUNS, plainEver: said.plainEver / RUNS }
  }
  const nothing = watched(1)
  const works = watched(0.25)
  const words = `a remedy that does nothing: "fell" after a year ${nothing.afterAYear.toFixed(3)}, ever in three ${nothing.ever.toFixed(3)} (counts as they are: ${nothing.plainEver.toFixed(3)}); one that takes away three in four: after a year ${works.afterAYear.toFixed(3)}, ever ${works.ever.toFixed(3)}`

  test(`bad luck that passes is no cure (${words})`, () => {
    expect(nothing.afterAYear, words).toBeLessThan(0.05 + 3 * Math.sqrt(0.0475 / RUNS))
    expect(nothing.ever, words).toBeLessThan(0.1 + 3 * Math.sqrt(0.09 / RUNS))
    expect(nothing.plainEver, words).toBeGreaterThan(2 * nothing.ever)
  })
  test('a remedy that takes away three needs in four is told in most within a year', () => {
    expect(works.afterAYear, words).toBeGreaterThan(0.6)
  })
}, 60_000)

describe('through looks and lives, not only through counts', () => {
  // Truth: needs come at three times the route's hazard, after day 365 at the route's own; looks every fortnight; shape 1 and 2.
  const RUNS = 600
  const cover = (shape: number, seed: number) => {
    const random = seededRandom(seed)
    const route = { shape, scaleDays: 250 }
    let covered = 0
    for (let run = 0; run < RUNS; run++) {
      const lives: Life[] = []
      let start = 0
      while (start < 730) {
        const ages: number[] = []
        let event = false
        let hazardLeft = -Math.log(1 - random())
        for (let age = 14; start + age <= 730; age += 14) {
          const times = start + age <= 365 ? 3 : 1
          hazardLeft -= times * ((age / route.scaleDays) ** shape - ((age - 14) / route.scaleDays) ** shape)
          ages.push(age)
          if (hazardLeft <= 0) {
            event = true
            break
          }
        }
        if (ages.length === 0) break
        lives.push(life(start, ages, event))
        start += ages.at(-1) ?? 14
        if (!event) break
      }
      const { ratio } = changeSince(faultCells(lives, route), 365)
      if (ratio && ratio.lower <= 1 / 3 && 1 / 3 <= ratio.upper) covered++
    }
    return covered / RUNS
  }
  const covered = { chance: cover(1, 3), wear: cover(2, 4) }

  test(`the interval still covers at least 90 % (chance ${covered.chance}, wear ${covered.wear})`, () => {
    const least = 0.9 - 3 * Math.sqrt(0.09 / RUNS)
    expect(covered.chance).toBeGreaterThan(least)
    expect(covered.wear).toBeGreaterThan(least)
  })
})
