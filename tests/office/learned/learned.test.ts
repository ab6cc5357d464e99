import { describe, expect, test } from 'vitest'
import { evenTanks, lifeCurves, type TankLife } from '@/lib/office/lanes/life-curves'
import { shapeWords, typicalLife } from '@/lib/office/lanes/life-words'
import { fitLifeModel, sampleLife, seededRandom, survivalAt } from '@/lib/science'

const TRUTH = { shape: 2, scale: 150 }

/** Lives seen every 14 days until day 300. */
function lives(random: () => number, tanks: number, each: number): TankLife[] {
  return Array.from({ length: tanks * each }, (_, i) => {
    const upper = Math.ceil(sampleLife(TRUTH, random) / 14) * 14
    const observation = upper > 300 ? { lower: 294, upper: Number.POSITIVE_INFINITY } : { lower: upper - 14, upper }
    return { tankId: `tank ${String(i % tanks).padStart(3, '0')}`, observation }
  })
}

describe('typicalLife', () => {
  test('the stored model’s median holds the truth of a simulation, and narrows with more lives', () => {
    const prior = { logShape: { mean: 0.7, sd: 0.4 }, logScale: { mean: Math.log(150), sd: 0.7 } }
    const known = (tanks: number, each: number) => {
      const seen = lives(seededRandom(tanks), tanks, each)
      const histories = seen.map(({ tankId, observation }) => ({
        tank: tankId,
        device: tankId,
        observations: [observation],
      }))
      return typicalLife(fitLifeModel(histories, prior, { points: 128 }))
    }
    const median = TRUTH.scale * Math.LN2 ** (1 / TRUTH.shape)
    const little = known(6, 2)
    const much = known(40, 6)
    for (const { medianDays } of [little, much]) {
      expect(medianDays.lower).toBeLessThan(median)
      expect(medianDays.upper).toBeGreaterThan(median)
    }
    expect(much.medianDays.upper / much.medianDays.lower).toBeLessThan(
      little.medianDays.upper / little.medianDays.lower,
    )
    expect(shapeWords(much.shape.median)).toBe('builds up')
  })
})

describe('lifeCurves', () => {
  test('the band lies around the true curve, the steps inside the band, and the same lives give the same band', () => {
    const seen = lives(seededRandom(5), 30, 6)
    const { band, counted, counts } = lifeCurves(TRUTH, seen)
    expect(counts).toEqual({ lives: 180, of: 180, tanks: 30 })
    const inside = band.filter(({ time, lower, upper }) => {
      const truth = survivalAt(TRUTH, time * 7)
      return lower - 0.02 <= truth && truth <= upper + 0.02
    })
    expect(inside.length).toBeGreaterThan(0.8 * band.length)
    expect(counted.at(0)).toEqual({ time: 0, survival: 1 })
    expect(lifeCurves(TRUTH, seen).band).toEqual(band)
  })

  test('without lives there is the fitted line alone; with few tanks no band; lives that entered late are not counted', () => {
    expect(lifeCurves(TRUTH, [])).toMatchObject({ counted: [], band: [], counts: { lives: 0 } })
    const few = lives(seededRandom(5), 4, 6)
    expect(lifeCurves(TRUTH, few).band).toEqual([])
    const late = [...few, { tankId: 'tank 009', observation: { lower: 50, upper: 64, truncatedAt: 30 } }]
    expect(lifeCurves(TRUTH, late).counts).toEqual({ lives: 24, of: 25, tanks: 4 })
  })

  test('where hardly a life is still watched nothing is counted: the last one found does not pull the curve to nothing', () => {
    const watched = lives(seededRandom(5), 30, 6).map(({ tankId, observation: { lower, upper } }) => ({
      tankId,
      observation: lower >= 84 ? { lower: 84, upper: Number.POSITIVE_INFINITY } : { lower, upper },
    }))
    const { counted, band } = lifeCurves(TRUTH, [
      ...watched,
      { tankId: 'tank 001', observation: { lower: 85, upper: 99 } },
    ])
    expect(counted.at(-1)?.time).toBeLessThanOrEqual(12)
    expect(counted.at(-1)?.survival).toBeGreaterThan(0.5)
    expect(band.at(-1)?.time).toBeLessThanOrEqual(12)
  })

  test('of very many lives an even choice of whole tanks is counted', () => {
    const many = lives(seededRandom(1), 200, 10)
    const some = evenTanks(many, 600)
    expect(some.length).toBeLessThanOrEqual(700)
    const tanks = new Set(some.map(({ tankId }) => tankId))
    expect(some.length).toBe(many.filter(({ tankId }) => tanks.has(tankId)).length)
  })
})
