import { describe, expect, test } from 'vitest'
import { sampleLife, seededRandom } from '@/lib/science'
import { certaintyOf, chanceInWords, type DriverLife, driverSentence, findDrivers, timesInWords } from '@/lib/trade'

const PLAIN = {
  hasStringyRefugium: false,
  hasFineSand: false,
  isHeavilyStocked: false,
  hasFurryPets: false,
  hasHardTapWater: false,
  isNearKitchenOrSmoke: false,
  deviceAgeYears: null,
  generalCleanOverdue: null,
  visitEveryDays: 14,
  renewedBy: null,
}

type Truth = { tanks: number; stringy: number; lives: number; timesAsOften: number; spread?: number; scale?: number }

/** Tanks with log-normal differences, looked at every 14 days until 200 days after the renewal; the first `stringy` of them have the property. */
function simulate(random: () => number, truth: Truth): DriverLife[] {
  const { tanks, stringy, lives, timesAsOften, spread = 0.3, scale = 120 } = truth
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
  return Array.from({ length: tanks }, (_, tank) => {
    const hasStringyRefugium = tank < stringy
    const own = (scale / (hasStringyRefugium ? timesAsOften : 1)) * Math.exp(spread * normal())
    const hasHardTapWater = random() < 0.5
    return Array.from({ length: lives }, (): DriverLife => {
      const life = sampleLife({ shape: 1.6, scale: own }, random)
      const upper = Math.ceil(life / 14) * 14
      const event = upper <= 200
      const observation = event ? { lower: upper - 14, upper } : { lower: 196, upper: Number.POSITIVE_INFINITY }
      return { ...PLAIN, tank: `tank ${tank}`, observation, event, hasStringyRefugium, hasHardTapWater }
    })
  }).flat()
}

describe('findDrivers', () => {
  test('finds a property that was planted, says how much, and is not sure of the others', () => {
    const lives = simulate(seededRandom(4), { tanks: 40, stringy: 12, lives: 12, timesAsOften: 3 })
    const { shown, notTested } = findDrivers(lives)
    const [first] = shown
    expect(first?.key).toBe('stringy-refugium')
    expect(first?.certainty).toBe('almost surely')
    expect(first?.sentence).toMatch(
      /^With a stringy refugium it is needed about [23](\.5)? times as often \(.* times, almost surely\)\.$/,
    )
    expect(1 / (first?.upper ?? 1)).toBeLessThan(3)
    expect(1 / (first?.lower ?? 1)).toBeGreaterThan(3)
    expect(shown.find(({ key }) => key === 'hard-tap-water')?.certainty).not.toBe('almost surely')
    expect(notTested.map(({ key }) => key)).toContain('fine-sand')
  })

  // Ten of forty tanks, and the least that is shown at all, three of twenty. 100 runs each: a true 95 % interval holds the truth in at least 88 of them in 99.8 of 100 times; more is
  // allowed, because the errors are widened. Being "almost surely" wrong about a property without effect must stay near the promised 1 in 20.
  test.each([
    { tanks: 40, stringy: 10, lives: 10 },
    { tanks: 20, stringy: 3, lives: 10 },
  ])(
    'its intervals hold the truth and it is seldom sure of nothing: %o',
    (size) => {
      const random = seededRandom(31)
      let held = 0
      let fooled = 0
      const runs = 100
      for (let run = 0; run < runs; run++) {
        const planted = findDrivers(simulate(random, { ...size, timesAsOften: 2 })).shown.find(
          ({ key }) => key === 'stringy-refugium',
        )
        if (planted && planted.lower <= 0.5 && planted.upper >= 0.5) held += 1
        const idle = findDrivers(simulate(random, { ...size, timesAsOften: 1 })).shown
        if (idle.some(({ certainty }) => certainty === 'almost surely')) fooled += 1
      }
      expect(held).toBeGreaterThanOrEqual(88)
      // 5 of 100 and three binomial standard errors.
      expect(fooled).toBeLessThanOrEqual(11)
    },
    60_000,
  )

  // Truth: 40 tanks, eight properties of which none does anything: five of tanks, the device's age, a general clean, and who did the work. All false, so whatever is said is a false discovery.
  test('with eight properties and no effect it is sure of something in at most one route of twenty, and says "probably" in at most one of five', () => {
    const random = seededRandom(808)
    const runs = 200
    let [sure, said] = [0, 0]
    for (let run = 0; run < runs; run++) {
      const byTank = Array.from({ length: 40 }, () => Array.from({ length: 5 }, () => random() < 0.4))
      const lives = simulate(random, { tanks: 40, stringy: 0, lives: 8, timesAsOften: 1 }).map((life): DriverLife => {
        const [a = false, b = false, c = false, d = false, e = false] = byTank[Number(life.tank.slice(5))] ?? []
        const ofTank = {
          hasStringyRefugium: a,
          hasFineSand: b,
          isHeavilyStocked: c,
          hasFurryPets: d,
          hasHardTapWater: e,
        }
        const ofLife = { deviceAgeYears: 6 * random(), generalCleanOverdue: random() < 0.5 }
        return { ...life, ...ofTank, ...ofLife, renewedBy: random() < 0.5 ? 'p1' : 'p2' }
      })
      const { shown } = findDrivers(lives)
      expect(shown).toHaveLength(8)
      if (shown.some(({ certainty }) => certainty === 'almost surely')) sure++
      if (shown.some(({ certainty }) => certainty !== 'cannot tell')) said++
    }
    const words = `sure in ${sure}, something said in ${said} of ${runs}`
    expect(sure / runs, words).toBeLessThanOrEqual(0.05 + 3 * Math.sqrt(0.0475 / runs))
    expect(said / runs, words).toBeLessThanOrEqual(0.2 + 3 * Math.sqrt(0.16 / runs))
  }, 60_000)

  test('says why a property is not shown: too few tanks, too few needs, the same everywhere, unknown', () => {
    const lives = simulate(seededRandom(8), { tanks: 30, stringy: 2, lives: 4, timesAsOften: 2 })
    const why = Object.fromEntries(findDrivers(lives).notTested.map(({ key, why }) => [key, why]))
    expect(why['stringy-refugium']).toBe('fewer than three tanks on one side')
    expect(why['fine-sand']).toBe('no tank here has it')
    expect(why['device-age']).toBe('not known for enough of these lives')
    expect(why.cadence).toBe('the same everywhere')
    const few = simulate(seededRandom(8), { tanks: 8, stringy: 4, lives: 1, timesAsOften: 1 })
    expect(findDrivers(few)).toMatchObject({ shown: [] })
    expect(findDrivers([])).toMatchObject({ lives: 0, shown: [] })
  })

  test('two properties of the very same tanks are told apart by nobody: one is dropped and said so', () => {
    const lives = simulate(seededRandom(5), { tanks: 30, stringy: 10, lives: 12, timesAsOften: 2 }).map((life) => ({
      ...life,
      hasFineSand: life.hasStringyRefugium,
    }))
    const { shown, notTested } = findDrivers(lives)
    expect(shown.map(({ key }) => key).filter((key) => key === 'fine-sand' || key === 'stringy-refugium')).toHaveLength(
      1,
    )
    expect(notTested.some(({ why }) => why === 'it cannot be told apart from the others in these tanks')).toBe(true)
  })

  test('who did the work: a person after whom it is needed sooner', () => {
    const random = seededRandom(12)
    const lives = simulate(random, { tanks: 30, stringy: 0, lives: 12, timesAsOften: 1 }).map((life, i) => {
      const eager = i % 3 === 0
      const { lower, upper } = life.observation
      const observation = eager ? { lower: lower / 2, upper: upper / 2 } : life.observation
      return { ...life, observation, renewedBy: eager ? 'p2' : 'p1' }
    })
    const { shown } = findDrivers(lives, (id) => ({ p1: 'Priya', p2: 'Tom' })[id] ?? id)
    expect(shown[0]?.key).toBe('renewed-by:p2')
    expect(shown[0]?.sentence).toMatch(/^Done by Tom, not Priya, it is needed about (twice|[12]\.\d times) as often/)
  })
})

describe('words', () => {
  test.each([
    [0.99, 'almost surely'],
    [0.975, 'almost surely'],
    [0.9, 'probably'],
    [0.5, 'cannot tell'],
  ])('%d → %s', (chance, words) => expect(certaintyOf(chance)).toBe(words))
  test.each([
    [0.66, '2 in 3'],
    [0.5, '1 in 2'],
    [0.01, 'less than 1 in 20'],
    [0.97, 'more than 19 in 20'],
    [0.88, '9 in 10'],
  ])('%d → %s', (chance, words) => expect(chanceInWords(chance)).toBe(words))
  test.each([
    [2.04, 'twice'],
    [3.1, '3 times'],
    [1.32, '1.3 times'],
    [12.4, '12 times'],
    [0.5, 'half'],
    [0.04, '0.04 times'],
    [0.1, '0.1 times'],
  ])('%d → %s', (ratio, words) => expect(timesInWords(ratio)).toBe(words))
  test('a life that is longer, and one that is too close to call', () => {
    expect(driverSentence('With fine sand', { timeRatio: 1.5, lower: 1.1, upper: 2 }, 'probably')).toBe(
      'With fine sand it lasts about 1.5 times as long (1.1 to 2 times, probably).',
    )
    expect(driverSentence('With fine sand', { timeRatio: 0.9, lower: 0.5, upper: 1.6 }, 'cannot tell')).toBe(
      'With fine sand it is too close to call: it may be needed 0.63 to 2 times as often.',
    )
  })
})
