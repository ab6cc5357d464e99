import 'server-only'
import { rowId } from '../frame/row-ids'
import { addMove, correctMove, lockParts } from '../parts/moves'
import type { VisitContext } from './visit-context'

/** A part used at a visit, as its newest words say it. */
export type Used = { id: string; partId: string | null; quantity: number; usedOn: string }

/**
 * Brings the stock in line with a part used at a visit: it comes off the van of whoever says so (else of the visit's technician, else off the shelf).
 * `chainIds`: all rows that said this use before, the newest among them. Below zero on paper is written down all the same: what was used was used, and the list of
 * parts asks for a count. A business without any place keeps no stock, and nothing is moved.
 */
export async function settleUse(context: VisitContext, chainIds: readonly string[], used: Used): Promise<void> {
  const { tx, actor, commandId, visit } = context
  const { businessId, personId } = actor
  const stock = { ...context, businessId }
  const earlier = await tx.stockMove.findMany({
    where: { businessId, partUsedId: { in: [...chainIds] }, kind: 'used', correctedBy: { is: null } },
  })
  const partIds = [...earlier.map(({ partId }) => partId), ...(used.partId ? [used.partId] : [])]
  if (partIds.length === 0) return
  await lockParts(tx, businessId, partIds)
  let isSaid = used.partId === null || used.quantity === 0
  for (const head of earlier) {
    const isSame = head.partId === used.partId && !isSaid
    const quantity = isSame ? used.quantity : 0
    isSaid ||= isSame
    if (head.quantity.toNumber() === quantity) continue
    const { correctsId: _, createdAt: __, commandId: ___, personId: ____, note: _____, counted: ______, ...row } = head
    const said = { id: rowId(commandId, `corrects ${head.id}`), quantity, personId, note: '' }
    await correctMove(stock, { ...row, partUsedId: used.id }, said)
  }
  if (isSaid || used.partId === null) return
  const fromPlaceId = await placeOf(context)
  if (!fromPlaceId) return
  await addMove(stock, {
    ...{ id: rowId(commandId, 'stock'), partId: used.partId, kind: 'used', fromPlaceId, toPlaceId: null, personId },
    ...{ quantity: used.quantity, movedOn: used.usedOn, visitId: visit.id, partUsedId: used.id },
  })
}

async function placeOf({ tx, actor, visit }: VisitContext): Promise<string | null> {
  const places = await tx.stockPlace.findMany({
    where: { businessId: actor.businessId, archivedAt: null },
    orderBy: [{ kind: 'asc' }, { createdAt: 'asc' }, { id: 'asc' }],
    select: { id: true, kind: true, personId: true },
  })
  const vanOf = (personId: string | null) =>
    personId === null ? undefined : places.find((place) => place.kind === 'van' && place.personId === personId)
  return (vanOf(actor.personId) ?? vanOf(visit.technicianId) ?? places[0])?.id ?? null
}
