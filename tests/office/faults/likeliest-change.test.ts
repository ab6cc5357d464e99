import { expect, test } from 'vitest'
import { likeliestChange } from '@/lib/office/faults/changes'
import type { FaultCell } from '@/lib/trade'

test('needs told of on a day without a look count with the next look: they make no change of their own', () => {
  // A look every fortnight that expects half a need, a need at every other one; some of them told of the day before.
  const cells = (toldBefore: boolean) =>
    Array.from({ length: 24 }, (_, n): FaultCell[] => {
      const day = 14 * (n + 1)
      const need = n % 2
      if (!toldBefore || need === 0) return [{ day, count: need, expected: 0.5 }]
      return [
        { day: day - 1, count: need, expected: 0 },
        { day, count: 0, expected: 0.5 },
      ]
    }).flat()
  const [seen, told] = [likeliestChange(cells(false)), likeliestChange(cells(true))]
  expect(told?.clear).toBe(false)
  expect(told?.pValue).toBe(seen?.pValue)
})
