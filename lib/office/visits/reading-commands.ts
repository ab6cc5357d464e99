import 'server-only'
import { done, refused } from '../frame/result'
import { readingRowId } from '../frame/row-ids'
import type { CommandOf } from './schema'
import { type Applied, dayColumn, type VisitContext, visitColumns } from './visit-context'
import { typedReading } from './water'

/** Measured values: stored in the one unit of their quantity, beside what was typed. */
export async function recordReadings(context: VisitContext, command: CommandOf<'visit.readings'>): Promise<Applied> {
  const { tx, madeAt, day } = context
  const rows = []
  for (const [place, { quantity, enteredValue, enteredUnit }] of command.readings.entries()) {
    const stored = typedReading({ quantity, enteredValue, enteredUnit })
    if ('wrong' in stored) return refused('does-not-fit', stored.wrong)
    rows.push({
      ...visitColumns(context),
      ...{ quantity, enteredValue, enteredUnit, unit: stored.unit },
      id: readingRowId(command.id, place),
      value: stored.value.toFixed(6),
      takenAt: madeAt,
      takenOn: dayColumn(day),
    })
  }
  await tx.reading.createMany({ data: rows })
  return done({ touched: [] })
}
