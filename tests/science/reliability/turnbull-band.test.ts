import { describe, expect, test } from 'vitest'
import { type Observation, sampleLife, seededRandom, survivalAt, turnbullBand } from '@/lib/science'
import { kaplanMeier } from './kaplan-meier'

const UNTIL = 126

function lives(random: () => number, tanks: number, each: number, spread: number) {
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
  const observations: Observation[] = []
  const cluster: string[] = []
  for (let tank = 0; tank < tanks; tank++) {
    const scale = 70 * Math.exp(spread * normal())
    const every = 7 + 7 * Math.floor(2 * random())
    for (let i = 0; i < each; i++) {
      const upper = Math.ceil(sampleLife({ shape: 2, scale }, random) / every) * every
      observations.push(upper > 130 ? { lower: 126, upper: Infinity } : { lower: upper - every, upper })
      cluster.push(`tank ${tank}`)
    }
  }
  return { observations, cluster }
}

describe('turnbullBand', () => {
  test('holds the true curve at a fixed time at least nine times in ten', () => {
    const random = seededRandom(40)
    const held: number[] = []
    const runs = 60
    for (let run = 0; run < runs; run++) {
      const { observations, cluster } = lives(random, 25, 6, 0)
      const band = turnbullBand(observations, { cluster, until: UNTIL, resamples: 60, random: seededRandom(run) })
      band.forEach(({ time, lower, upper }, i) => {
        const truth = survivalAt({ shape: 2, scale: 70 }, time)
        if (lower <= truth && truth <= upper) held[i] = (held[i] ?? 0) + 1
      })
    }
    // At 90 % fewer than 47 of 60 has a chance of 0.2 %; the band may hold more, as it counts the doubt within a stretch too.
    for (const count of held.slice(3, 34)) expect(count).toBeGreaterThanOrEqual(47)
  })

  test('is wider where tanks differ than where the same lives come from tanks that do not', () => {
    const width = ({ observations, cluster }: ReturnType<typeof lives>) =>
      turnbullBand(observations, { cluster, until: UNTIL, resamples: 100, random: seededRandom(2) })
        .map(({ lower, upper }) => upper - lower)
        .reduce((sum, x) => sum + x, 0)
    const differing = lives(seededRandom(3), 20, 20, 0.7)
    const shuffled = { ...differing, cluster: differing.cluster.map((_, i) => `tank ${i % 20}`) }
    expect(width(differing)).toBeGreaterThan(1.3 * width(shuffled))
  })

  // Greenwood 1926, Reports on Public Health and Medical Subjects 33, as in `kaplanMeier`.
  test('for exact and right-censored lives of single tanks it is about as wide as Greenwood’s formula says', () => {
    const random = seededRandom(6)
    const observations = Array.from({ length: 150 }, (): Observation => {
      const life = sampleLife({ shape: 2, scale: 70 }, random)
      const end = 40 + 120 * random()
      return life > end ? { lower: end, upper: Infinity } : { lower: life, upper: life }
    })
    const cluster = observations.map((_, i) => `${i}`)
    const band = turnbullBand(observations, { cluster, until: 120, resamples: 400, random: seededRandom(7) })
    const at = band.find(({ time }) => time === 60)
    const step = kaplanMeier(observations).findLast(({ time }) => time <= 60)
    const half = 1.645 * (step?.standardError ?? 0)
    expect(Math.abs(((at?.upper ?? 0) - (at?.lower ?? 0)) / (2 * half) - 1)).toBeLessThan(0.2)
  })

  test('the same seed gives the same band; bad input is refused in words', () => {
    const { observations, cluster } = lives(seededRandom(1), 5, 4, 0.2)
    const make = () => turnbullBand(observations, { cluster, until: UNTIL, resamples: 30, random: seededRandom(9) })
    expect(make()).toEqual(make())
    const alone = observations.map(() => 'one')
    const options = { until: UNTIL, resamples: 30, random: seededRandom(9) }
    expect(() => turnbullBand(observations, { cluster: alone, ...options })).toThrow(/at least two clusters/)
    expect(() => turnbullBand(observations, { cluster: [], ...options })).toThrow(/one cluster label/)
  })
})
