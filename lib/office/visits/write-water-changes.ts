import 'server-only'
import { rowId } from '../frame/row-ids'
import type { Pair } from './record'
import { endsOfChains, ofVisit, originOf, wasSaid } from './rows-in-line'
import { dayColumn, type VisitContext } from './visit-context'
import { waterChanged } from './water-change'

/** Water changed, in litres of the tank as it is now. Taken back it counts for nothing. */
export async function writeWaterChanges(context: VisitContext): Promise<Pair[]> {
  const { tx, commandId, record, rows, visit } = context
  const ids = new Set(rows.waterChanges.map(({ id }) => id))
  const standing = new Set(record.waterChanges.map(({ id }) => id))
  const tankVolumeL = visit.tank.volumeL.toNumber()
  const added = record.waterChanges.flatMap(({ id, ...typed }) => {
    if (ids.has(id)) return []
    const changed = waterChanged(typed, tankVolumeL)
    if ('wrong' in changed) return [] // refused before it came here
    const entered = {
      enteredAmount: typed.amount,
      enteredUnit: typed.unit,
      enteredSalinity: `${typed.newSalinity} ${typed.newSalinityUnit}`.trim(),
    }
    const changedOn = dayColumn(originOf(context, id).day)
    return [{ ...ofVisit(context), ...changed, ...entered, id, tankVolumeL, changedOn, commandId: id }]
  })
  const unsaid = endsOfChains(rows.waterChanges)
    .filter(({ rootId, row }) => !standing.has(rootId) && !row.isTakenBack && wasSaid(context, row))
    .map(({ row: { createdAt: _, ...row } }) => {
      return { ...row, id: rowId(commandId, `unsaid ${row.id}`), correctsId: row.id, isTakenBack: true, commandId }
    })
  if (added.length + unsaid.length > 0) await tx.waterChange.createMany({ data: [...added, ...unsaid] })
  return []
}
