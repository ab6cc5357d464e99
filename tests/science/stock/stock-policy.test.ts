import { expect, test } from 'vitest'
import { demandForecast, reorderPoint, sampleLife, seededRandom } from '@/lib/science'

/**
 * A simulation of stated truth: a route's devices that use one part, renewed when the need is found or at a planned age; a supplier who takes a while; somebody who looks at
 * the stock once a week. Two ways to say how many to keep, given the same lives and the same chance:
 * - from the lives: the least number that the devices installed, at their present ages, will not use up with the wanted chance;
 * - from the last 90 days: what was used in them, taken on as a Poisson rate.
 * Both order up to the same number above what they keep, so only the rule differs. Invented; checked is the promise "enough 19 times in 20 while waiting".
 */
type World = {
  devices: number
  shape: number
  scale: number
  renewAt: number
  leadTime: number
  startAge: (n: number, random: () => number) => number
}

const REVIEW = 7
const LEVEL = 0.95
const WEEKS = 52 * 6
const WARM_UP_WEEKS = 52

type Outcome = { waits: number; lasted: number; meanStock: number }

function simulate(world: World, rule: 'lives' | 'last 90 days', seed: number): Outcome {
  const { devices, shape, scale, renewAt, leadTime, startAge } = world
  const random = seededRandom(seed)
  const life = { shape, scale }
  const born: number[] = []
  const ends: number[] = []
  const renew = (n: number, day: number) => {
    born[n] = day
    ends[n] = day + Math.min(sampleLife(life, random), renewAt)
  }
  for (let n = 0; n < devices; n++) {
    const age = startAge(n, random)
    renew(n, -age)
    while ((ends[n] ?? 0) < 0) renew(n, -age * random())
  }
  const uses: number[] = []
  const coming: { day: number; quantity: number }[] = []
  /** From the day on which an order of this look would come until that of the next: the days that this look answers for. */
  const waits: { from: number; until: number; short: boolean }[] = []
  let onHand = 4
  let stockDays = 0
  for (let day = 0; day < WEEKS * 7; day++) {
    while (coming[0] && coming[0].day <= day) onHand += coming.shift()?.quantity ?? 0
    if (day % REVIEW === 0) {
      const position = onHand + coming.reduce((sum, { quantity }) => sum + quantity, 0)
      const cover = leadTime + REVIEW
      const keep =
        rule === 'lives'
          ? reorderPoint({
              probabilities: demandForecast(
                born.map((since) => ({ shape, scale, age: day - since, renewAt })),
                cover,
                day + 1,
                { runs: 400 },
              ).probabilities,
              serviceLevel: LEVEL,
            }).reorderPoint
          : reorderPoint({
              meanDemand: uses.filter((used) => used > day - 90).length / 90,
              leadTime: cover,
              serviceLevel: LEVEL,
            }).reorderPoint
      // What is there and on its way must last until what could be ordered at the next look has come.
      if (day >= WARM_UP_WEEKS * 7) waits.push({ from: day + leadTime, until: day + cover, short: false })
      if (position < keep) coming.push({ day: day + leadTime, quantity: keep - position })
    }
    for (let n = 0; n < devices; n++)
      if ((ends[n] ?? 0) <= day) {
        uses.push(day)
        // What is not there is fetched at once at any price: it counts as short, and stock does not go below zero.
        if (onHand > 0) onHand--
        else for (const wait of waits) wait.short ||= wait.from <= day && day < wait.until
        renew(n, day)
      }
    if (day >= WARM_UP_WEEKS * 7) stockDays += onHand
  }
  const over = waits.filter(({ until }) => until <= WEEKS * 7)
  return {
    waits: over.length,
    lasted: over.filter(({ short }) => !short).length,
    meanStock: stockDays / ((WEEKS - WARM_UP_WEEKS) * 7),
  }
}

const WORLDS: Record<string, World> = {
  // Put in together, as when a business takes over a house: their needs come together, long after each other.
  'lamps put in within a season': {
    ...{ devices: 30, shape: 6, scale: 390, renewAt: 364, leadTime: 10 },
    startAge: (_n, random) => random() * 45,
  },
  'tubes of all ages': {
    ...{ devices: 40, shape: 3, scale: 300, renewAt: 210, leadTime: 10 },
    startAge: (_n, random) => random() * 200,
  },
  'parts that end by chance': {
    ...{ devices: 40, shape: 1, scale: 300, renewAt: Number.POSITIVE_INFINITY, leadTime: 14 },
    startAge: () => 0,
  },
}
const RUNS = 3

test('kept by the lives it lasts as often as promised; kept by the last 90 days it lasts less often or needs more stock', () => {
  const table = Object.entries(WORLDS).map(([name, world]) => {
    const run = (rule: 'lives' | 'last 90 days') => {
      const outcomes = Array.from({ length: RUNS }, (_, seed) => simulate(world, rule, 100 + seed))
      const sum = (of: (outcome: Outcome) => number) => outcomes.reduce((all, outcome) => all + of(outcome), 0)
      const shares = outcomes.map(({ lasted, waits }) => lasted / waits)
      const mean = sum(({ lasted }) => lasted) / sum(({ waits }) => waits)
      // One short time may be followed by another, so the error is taken from how the independent runs differ.
      const variance = shares.reduce((all, share) => all + (share - mean) ** 2, 0) / (RUNS - 1)
      return { lasted: mean, error: Math.sqrt(variance / RUNS), meanStock: sum(({ meanStock }) => meanStock) / RUNS }
    }
    return { name, lives: run('lives'), recent: run('last 90 days') }
  })
  const percent = (share: number) => `${(share * 100).toFixed(1)} %`
  console.info(
    table
      .map(
        ({ name, lives, recent }) =>
          `${name}: by lives ${percent(lives.lasted)} ± ${percent(lives.error)} with ${lives.meanStock.toFixed(1)} on hand; by the last 90 days ${percent(recent.lasted)} ± ${percent(recent.error)} with ${recent.meanStock.toFixed(1)} on hand`,
      )
      .join('\n'),
  )
  for (const { lives } of table) expect(lives.lasted).toBeGreaterThan(LEVEL - 3 * Math.max(lives.error, 0.005))
  for (const { name, lives, recent } of table)
    if (name !== 'parts that end by chance')
      expect(recent.lasted < lives.lasted - 0.01 || recent.meanStock > lives.meanStock * 1.05).toBe(true)
  // The promise is not bought with a roomful: half as much again as what 19 in 20 needs would be no forecast.
  for (const { lives } of table) expect(lives.lasted).toBeLessThan(0.999)
}, 60_000)
