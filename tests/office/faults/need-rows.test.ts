import { expect, test } from 'vitest'
import { needRows } from '@/lib/office/faults/need-rows'
import { dayOf } from '@/lib/office/lanes/day-numbers'

const day = (text: string) => dayOf(new Date(text))
const mark = (kind: 'looked' | 'found' | 'renewed' | 'reported', on: string) => ({ kind, day: day(on), visitId: on })

test('each need is a row, and the rows in the count are the lives of known age that ended in one', () => {
  const rows = needRows([
    {
      lives: [
        { end: day('2026-01-10'), event: true, unknownAge: { lower: 0, upper: 9 } },
        { end: day('2026-03-10'), event: true },
        { end: day('2026-05-10'), event: true },
        { end: day('2026-06-30'), event: false },
      ],
      marks: [
        mark('looked', '2026-01-01'),
        mark('found', '2026-01-10'),
        mark('found', '2026-01-20'),
        mark('renewed', '2026-01-20'),
        mark('found', '2026-01-27'),
        mark('renewed', '2026-01-27'),
        mark('looked', '2026-02-10'),
        mark('reported', '2026-03-10'),
        mark('renewed', '2026-03-11'),
        // Put right for its condition though the look had said "ok": a need without a finding.
        mark('looked', '2026-05-10'),
        mark('renewed', '2026-05-10'),
      ],
    },
    { lives: [], marks: [mark('found', '2026-02-01')] },
  ])
  expect(rows.map(({ date, kind, leftOut }) => [date, kind, leftOut])).toEqual([
    ['2026-05-10', 'renewed', null],
    ['2026-03-10', 'reported', null],
    ['2026-02-01', 'found', 'nothing-before'],
    ['2026-01-27', 'found', 'not-cured'],
    ['2026-01-20', 'found', 'still-open'],
    ['2026-01-10', 'found', 'age-unknown'],
  ])
})
