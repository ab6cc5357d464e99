import { describe, expect, test } from 'vitest'
import { type Observation, turnbull } from '@/lib/science'
import { RADIOTHERAPY_COSMESIS } from '../../reference/radiotherapy-cosmesis'
import { expectAllRelative } from '../close-to'
import { seededRandom } from '../seeded-random'
import { kaplanMeier } from './kaplan-meier'

const intervals = (rows: [number, number, number?][]): Observation[] =>
  rows.map(([lower, upper, weight = 1]) => ({ lower, upper, weight }))
const lives = (ended: number[], good: number[] = []): Observation[] => [
  ...ended.map((time) => ({ lower: time, upper: time })),
  ...good.map((time) => ({ lower: time, upper: Infinity })),
]

describe('kaplanMeier, against which the band for intervals is held', () => {
  test('6-MP arm of Freireich et al. 1963, Blood 21: 699–716; table as NAG g12aac prints it, digits from R survival 3.5.3', () => {
    const arm = lives([6, 6, 6, 7, 10, 13, 16, 22, 23], [6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35])
    const table = kaplanMeier(arm)
    expect(table.map(({ time }) => time)).toEqual([6, 7, 10, 13, 16, 22, 23])
    expect(table.map(({ atRisk }) => atRisk)).toEqual([21, 17, 15, 12, 11, 7, 6])
    expect(table.map(({ events }) => events)).toEqual([3, 1, 1, 1, 1, 1, 1])
    expectAllRelative(
      table.map(({ survival }) => survival),
      [0.857142857143, 0.806722689076, 0.752941176471, 0.690196078431, 0.627450980392, 0.53781512605, 0.448179271709],
      1e-11,
    )
    expectAllRelative(
      table.map(({ standardError }) => standardError),
      [
        0.0763603548321, 0.0869352851801, 0.0963496529943, 0.106814707775, 0.114053865257, 0.128233751693,
        0.134591456756,
      ],
      1e-11,
    )
  })

  test('placebo arm of the same trial, without censoring: survival is a share of 21; where it is 0, Greenwood is undefined and given as 0', () => {
    const table = kaplanMeier(lives([1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23]))
    expectAllRelative(
      table.map(({ survival }) => survival * 21),
      [19, 17, 16, 14, 12, 8, 6, 4, 3, 2, 1, 0],
      1e-12,
    )
    // Lecture tables print .381 ± .106 at 8 weeks.
    expect(table[5]?.standardError).toBeCloseTo(0.106, 3)
    expect(table.at(-1)).toMatchObject({ survival: 0, standardError: 0 })
  })

  test('a life that entered late is at risk only after its entry', () => {
    const [first, second] = kaplanMeier([...lives([2, 5]), { lower: 9, upper: Infinity, truncatedAt: 2 }])
    expect(first).toMatchObject({ time: 2, atRisk: 2, survival: 0.5 })
    expect(second).toMatchObject({ time: 5, atRisk: 2, survival: 0.25 })
  })

  test('refuses intervals and points to turnbull', () => {
    expect(() => kaplanMeier(intervals([[2, 5]]))).toThrow(/turnbull/)
  })
})

describe('turnbull', () => {
  test('on one common schedule it is the binomial share found so far (Nelson 1982, p. 415: 167 parts)', () => {
    const found = [5, 16, 12, 18, 18, 2, 6, 17, 73]
    const looks = [0, 6.12, 19.92, 29.64, 35.4, 39.72, 45.24, 52.32, 63.48, Infinity]
    const masses = turnbull(
      found.map((weight, i) => ({ lower: looks[i] ?? 0, upper: looks[i + 1] ?? Infinity, weight })),
    )
    expectAllRelative(
      masses.map(({ mass }) => mass),
      found.map((count) => count / 167),
      1e-12,
    )
  })

  test('six overlapping intervals: 2/9, 4/9, 1/3 (constructed; R survival 3.5.3)', () => {
    const masses = turnbull(
      intervals([
        [0, 15],
        [10, 25],
        [20, 40],
        [30, 50],
        [20, 30],
        [40, Infinity],
      ]),
    )
    expect(masses.map(({ lower, upper }) => [lower, upper])).toEqual([
      [10, 15],
      [20, 25],
      [40, 50],
    ])
    expectAllRelative(
      masses.map(({ mass }) => mass),
      [2 / 9, 4 / 9, 1 / 3],
      1e-10,
    )
  })

  // Finkelstein & Wolfe 1985, table 4 (data set bcos of CRAN package interval); masses printed there to four digits, here from self-consistency run to 1e-17.
  test('46 radiotherapy patients with visits of their own', () => {
    const { months, turnbull: published } = RADIOTHERAPY_COSMESIS
    expect(months).toHaveLength(46)
    const masses = turnbull(months.map(([lower, upper]) => ({ lower, upper })))
    expect(masses.map(({ lower, upper }) => [lower, upper])).toEqual(
      published.map(({ lower, upper }) => [lower, upper]),
    )
    expectAllRelative(
      masses.map(({ mass }) => mass),
      published.map(({ mass }) => mass),
      1e-9,
    )
  })

  test('half-open intervals that touch do not overlap; an exact age lies in the interval that ends with it', () => {
    expect(
      turnbull(
        intervals([
          [0, 5],
          [5, 9],
        ]),
      ).map(({ mass }) => mass),
    ).toEqual([0.5, 0.5])
    expect(
      turnbull(
        intervals([
          [5, 5],
          [2, 5],
        ]),
      ),
    ).toEqual([{ lower: 5, upper: 5, mass: 1 }])
    expect(
      turnbull(
        intervals([
          [5, 5],
          [5, 9],
        ]),
      ).map(({ lower }) => lower),
    ).toEqual([5, 5])
  })

  test('on exact and right-censored lives it is Kaplan–Meier', () => {
    const arm = lives([3, 5, 5, 8, 12], [4, 9, 15])
    let survival = 1
    const curve = turnbull(arm)
      .filter(({ upper }) => upper < Infinity)
      .map(({ mass }) => (survival -= mass))
    expectAllRelative(
      curve,
      kaplanMeier(arm).map((step) => step.survival),
      1e-9,
    )
  })

  test('meets the Kuhn–Tucker conditions on 2,000 random intervals, so that no other curve is more likely', () => {
    const random = seededRandom(5)
    const rows = Array.from({ length: 2000 }, () => {
      const life = 30 * (-Math.log(1 - random())) ** 0.5
      const every = 4 + 8 * random()
      const seen = Math.floor(life / every) * every
      return seen > 40 ? { lower: 40, upper: Infinity } : { lower: seen, upper: seen + every }
    })
    const masses = turnbull(rows)
    expect(masses.reduce((sum, { mass }) => sum + mass, 0)).toBeCloseTo(1, 12)
    const share = rows.map((row) =>
      masses.filter((m) => m.lower >= row.lower && m.upper <= row.upper).reduce((sum, { mass }) => sum + mass, 0),
    )
    for (const stretch of masses) {
      const pull = rows.reduce(
        (sum, row, i) => sum + (stretch.lower >= row.lower && stretch.upper <= row.upper ? 1 / (share[i] ?? 1) : 0),
        0,
      )
      expect(pull / rows.length).toBeCloseTo(1, 6)
    }
  })

  test('refuses late entries in words', () => {
    expect(() => turnbull([{ lower: 2, upper: 5, truncatedAt: 1 }])).toThrow(/late entries/)
  })
})
