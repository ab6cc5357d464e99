import 'server-only'
import { refused } from '../frame/result'
import { lotRowId } from '../frame/row-ids'
import type { CommandOf } from './schema'
import { dayColumn, type Refusal, type VisitContext } from './visit-context'

/** Lots that went into the tank of this visit, on its day. A lot said twice at one visit is there once. */
export async function recordLots(context: VisitContext, command: CommandOf<'visit.use-lots'>): Promise<Refusal> {
  const { tx, actor, visit, day, commandId } = context
  const { businessId } = actor
  const lotIds = [...new Set(command.lotIds)]
  const known = await tx.lot.count({ where: { businessId, id: { in: lotIds } } })
  if (known < lotIds.length) return refused('does-not-fit', 'This lot is not in the list any more. Reload the page.')
  const said = await tx.lotUse.findMany({
    where: { businessId, visitId: visit.id, lotId: { in: lotIds }, isTakenBack: false, correctedBy: { is: null } },
    select: { lotId: true },
  })
  const there = new Set(said.map(({ lotId }) => lotId))
  await tx.lotUse.createMany({
    data: lotIds
      .filter((lotId) => !there.has(lotId))
      .map((lotId) => ({
        ...{ businessId, id: lotRowId(command.id, lotId), lotId, commandId },
        ...{ tankId: visit.tankId, visitId: visit.id, usedOn: dayColumn(day) },
      })),
  })
  return null
}
