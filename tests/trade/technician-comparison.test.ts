import { describe, expect, test } from 'vitest'
import { seededRandom } from '@/lib/science'
import { comparePeople, type PersonLooks } from '@/lib/trade'

/** Truth: each tank × mode has its own chance of a need; `other` says so `times` as readily, in odds. */
function makeLooks(seed: number, times: number): PersonLooks[] {
  const random = seededRandom(seed)
  return Array.from({ length: 400 }, (_, look): PersonLooks => {
    const stratum = look % 25
    const person = random() < 0.5 ? 'a' : 'b'
    const odds = (0.05 + stratum / 50) * (person === 'b' ? times : 1)
    return {
      tank: `t${stratum}`,
      equipment: 'e',
      mode: 'm',
      person,
      looks: 1,
      found: random() < odds / (1 + odds) ? 1 : 0,
    }
  })
}
const nameOf = (person: string) => (person === 'a' ? 'Asha' : 'Ben')

describe('two technicians on the same tanks', () => {
  const RUNS = 300
  const intervals = [1, 3].map((times) => {
    const runs = Array.from({ length: RUNS }, (_, run) => comparePeople(makeLooks(100 + run, times), nameOf)[0])
    return {
      times,
      covered:
        runs.filter((pair) => pair?.ratio && pair.ratio.lower <= 1 / times && 1 / times <= pair.ratio.upper).length /
        RUNS,
      differ: runs.filter((pair) => pair?.differ).length / RUNS,
    }
  })

  test(`95 % interval covers the truth; the same threshold is called different in about one of twenty (${JSON.stringify(intervals)})`, () => {
    for (const { covered } of intervals) expect(covered).toBeGreaterThan(0.95 - 3 * Math.sqrt(0.0475 / RUNS))
    expect(intervals[0]?.differ).toBeLessThan(0.05 + 3 * Math.sqrt(0.0475 / RUNS))
    expect(intervals[1]?.differ).toBeGreaterThan(0.9)
  })

  test('one who never says so and one who says so at every third look differ, although no ratio can be given', () => {
    const looks = ['a', 'b'].map((person): PersonLooks => {
      return { tank: 't', equipment: 'e', mode: 'm', person, looks: 72, found: person === 'b' ? 24 : 0 }
    })
    const [pair] = comparePeople(looks, nameOf)
    expect(pair?.differ).toBe(true)
    expect(pair?.ratio).toMatchObject({ oddsRatio: 0, lower: 0 })
    expect(pair?.words).toMatch(/Ben says “needs it” sooner than Asha/)
  })

  test('six people of one threshold: a false word in about one business of twenty, not in one of two or three', () => {
    const random = seededRandom(91)
    const businesses = 300
    let fooled = 0
    for (let n = 0; n < businesses; n++) {
      const looks = Array.from({ length: 1200 }, (_, look): PersonLooks => {
        const stratum = look % 25
        const person = `p${Math.floor(6 * random())}`
        const found = random() < 0.05 + stratum / 60 ? 1 : 0
        return { tank: `t${stratum}`, equipment: 'e', mode: 'm', person, looks: 1, found }
      })
      if (comparePeople(looks, (id) => id).some(({ differ }) => differ)) fooled++
    }
    expect(fooled / businesses).toBeLessThan(0.05 + 3 * Math.sqrt(0.0475 / businesses))
  })

  test('who comes after a longer gap finds more and is not said to have another threshold', () => {
    // Truth: two people alike, taking turns, three weeks and one week after the other; needs come at one in sixty days.
    const random = seededRandom(21)
    let differ = 0
    for (let run = 0; run < 100; run++) {
      const looks = Array.from({ length: 400 }, (_, n): PersonLooks => {
        const [person, days] = n % 2 === 0 ? ['a', 21] : ['b', 7]
        // Now and then one stands in for the other, after their gap.
        const stood = random() < 0.2
        const by = stood ? (person === 'a' ? 'b' : 'a') : (person ?? 'a')
        const found = random() < 1 - Math.exp(-(days ?? 7) / 60) ? 1 : 0
        return {
          tank: `t${Math.floor(n / 2) % 10}`,
          equipment: 'e',
          mode: 'm',
          person: by,
          gapWeeks: (days ?? 7) / 7,
          looks: 1,
          found,
        }
      })
      const blind = comparePeople(
        looks.map(({ gapWeeks: _, ...look }) => look),
        nameOf,
      )[0]
      const [pair] = comparePeople(looks, nameOf)
      if (pair?.differ) differ++
      if (run === 0) expect(blind?.onesShare).toBeGreaterThan((blind?.othersShare ?? 1) * 1.3)
    }
    expect(differ / 100).toBeLessThan(0.05 + 3 * Math.sqrt(0.0475 / 100))
  })

  test('who sees only the hard tanks is not blamed for them', () => {
    const looks = makeLooks(1, 1).map((look) => ({ ...look, person: Number(look.tank.slice(1)) < 12 ? 'a' : 'b' }))
    expect(comparePeople(looks, nameOf)).toEqual([])
  })

  test('says it fairly', () => {
    const [pair] = comparePeople(makeLooks(7, 4), nameOf)
    expect(pair?.words).toMatch(/Ben says “needs it” sooner than Asha\. Neither is wrong/)
    expect(comparePeople(makeLooks(7, 1), nameOf)[0]?.words).toMatch(/no more apart than chance allows/)
  })
})
