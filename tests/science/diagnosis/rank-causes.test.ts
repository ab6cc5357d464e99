import { describe, expect, test } from 'vitest'
import { type DiagnosisModel, rankCauses, updateCounts } from '@/lib/science'

const cause = (slug: string, prior: number) => ({ slug, prior, minutes: 5 })

describe('ranking', () => {
  test('one woman in a hundred, 79.2 % and 9.6 % of tests positive: 7.7 % (Eddy 1982, from memory; the arithmetic by hand)', () => {
    const model: DiagnosisModel = {
      causes: [cause('ill', 1), cause('well', 99)],
      checks: [
        {
          slug: 'test',
          minutes: 1,
          hits: { ill: 0.792, well: 0.904 },
          answers: [
            { slug: 'positive', points: ['ill'] },
            { slug: 'negative', points: ['well'] },
          ],
        },
      ],
    }
    const [first, second] = rankCauses(model, { answers: { test: 'positive' } })
    expect(first?.cause).toBe('well')
    expect(second?.probability).toBeCloseTo(0.00792 / (0.00792 + 0.09504), 12)
    expect(second?.probability).toBeCloseTo(0.077, 3)
  })
  test('0.9 and 0.1 where nothing is known; more answers share the tenth; a cause that nothing points to says nothing', () => {
    const model: DiagnosisModel = {
      causes: [cause('a', 1), cause('b', 1), cause('c', 1)],
      checks: [
        {
          slug: 'two',
          minutes: 1,
          answers: [
            { slug: 'yes', points: ['a'] },
            { slug: 'no', rest: true },
          ],
        },
        {
          slug: 'three',
          minutes: 1,
          answers: [{ slug: 'left', points: ['a'] }, { slug: 'right', points: ['b'] }, { slug: 'neither' }],
        },
      ],
    }
    const ranked = (answers: Record<string, string>) =>
      Object.fromEntries(rankCauses(model, { answers }).map((one) => [one.cause, one.probability]))
    expect(ranked({ two: 'yes' }).a).toBeCloseTo(0.9 / 1.1, 12)
    const three = ranked({ three: 'left' })
    expect(three.a).toBeCloseTo(0.9 / (0.9 + 0.05 + 1 / 3), 12)
    expect(three.c).toBeCloseTo(1 / 3 / (0.9 + 0.05 + 1 / 3), 12)
  })
  test('the order of the answers changes nothing; what was ruled out is gone; all ruled out leaves an empty list', () => {
    const model: DiagnosisModel = {
      causes: [cause('a', 3), cause('b', 2), cause('c', 1)],
      checks: ['x', 'y'].map((slug) => ({
        slug,
        minutes: 1,
        answers: [
          { slug: 'yes', points: [slug === 'x' ? 'a' : 'b'] },
          { slug: 'no', rest: true },
        ],
      })),
    }
    expect(rankCauses(model, { answers: { x: 'no', y: 'yes' } })).toEqual(
      rankCauses(model, { answers: { y: 'yes', x: 'no' } }),
    )
    expect(rankCauses(model, { ruledOut: ['a'] })).toEqual([
      { cause: 'b', probability: 2 / 3 },
      { cause: 'c', probability: 1 / 3 },
    ])
    expect(rankCauses(model, { ruledOut: ['a', 'b', 'c'] })).toEqual([])
  })
  const model: DiagnosisModel = { causes: [cause('a', 1)], checks: [] }
  test.each([
    ['an unknown check', model, { answers: { x: 'yes' } }],
    ['an unknown cause', model, { ruledOut: ['z'] }],
    ['no cause', { causes: [], checks: [] }, {}],
    ['a cause twice', { causes: [cause('a', 1), cause('a', 1)], checks: [] }, {}],
    ['a share below 0', { causes: [cause('a', -1)], checks: [] }, {}],
    ['no share at all', { causes: [cause('a', 0)], checks: [] }, {}],
    ['no minutes', { causes: [{ slug: 'a', prior: 1, minutes: 0 }], checks: [] }, {}],
    ['an unknown set-up', { causes: [{ ...cause('a', 1), needs: ['out'] }], checks: [] }, {}],
    [
      'a check with one answer',
      { causes: [cause('a', 1)], checks: [{ slug: 'x', minutes: 1, answers: [{ slug: 'yes' }] }] },
      {},
    ],
    [
      'a certain check',
      {
        causes: [cause('a', 1)],
        checks: [{ slug: 'x', minutes: 1, hit: 1, answers: [{ slug: 'yes' }, { slug: 'no' }] }],
      },
      {},
    ],
    [
      'a check before itself',
      {
        causes: [cause('a', 1)],
        checks: [{ slug: 'x', minutes: 1, after: ['x'], answers: [{ slug: 'yes' }, { slug: 'no' }] }],
      },
      {},
    ],
  ] satisfies [string, DiagnosisModel, object][])('%s is refused', (_, bad, evidence) => {
    expect(() => rankCauses(bad, evidence)).toThrow(RangeError)
  })
})

describe('counts', () => {
  const start: DiagnosisModel = { causes: [cause('a', 6), cause('b', 4)], checks: [] }
  const cases = [...Array(14).fill({ cause: 'b' }), ...Array(26).fill({ cause: 'a' })]
  test('mean of a Dirichlet after multinomial counts: (4 + 14) / (10 + 40), in any portions', () => {
    const once = updateCounts(start, cases)
    expect(once.causes.map(({ seen }) => seen)).toEqual([26, 14])
    expect(rankCauses(once).find((one) => one.cause === 'b')?.probability).toBeCloseTo(18 / 50, 12)
    expect(updateCounts(updateCounts(start, cases.slice(0, 9)), cases.slice(9))).toEqual(once)
    expect(start.causes[0]).not.toHaveProperty('seen')
  })
  test('no cases leave the shares; an unknown cause is refused', () => {
    expect(rankCauses(updateCounts(start, []))).toEqual(rankCauses(start))
    expect(() => updateCounts(start, [{ cause: 'z' }])).toThrow(RangeError)
  })
})
