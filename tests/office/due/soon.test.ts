import { expect, test } from 'vitest'
import { type DueRow, soonOf } from '@/lib/office/due/queries'

// Only what the rule reads; the rest of a row is for the screen.
const row = (careTask: string, dueOn: string | null, lookBy: string | null, rule = 'cheapest') =>
  ({ careTask, dueOn, lookBy, reason: { rule } }) as unknown as DueRow

test('what is only to be looked at by then is not called due, whatever its date', () => {
  const rows = [
    row('due', '2026-12-01', '2026-11-20'),
    row('late', '2026-10-01', null),
    row('look', null, '2026-12-01'),
    row('look, due much later', '2027-02-04', '2026-11-28'),
    row('neither', '2027-02-04', '2027-01-01'),
    row('never looked at', null, null, 'never-seen'),
    row('resting', null, null, 'not-watched'),
  ]
  const soon = soonOf({ rows, today: '2026-11-25' }, 14)
  expect(soon.map(({ careTask, onlyToLook }) => [careTask, onlyToLook])).toEqual([
    ['due', false],
    ['late', false],
    ['look', true],
    ['look, due much later', true],
    ['never looked at', true],
  ])
})
