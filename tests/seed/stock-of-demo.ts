import type { Actor } from '@/lib/office/frame/actor'
import { shortagesAhead } from '@/lib/office/parts/booked-needs'
import { partsPage } from '@/lib/office/parts/queries'
import { inScope, type Transaction } from '@/lib/platform/db/scope'

/** What the screens say of the demo's stock, and the same counted by hand from the bare rows. */
export async function stockOfDemo(owner: Actor, now: Date) {
  const { businessId, personId } = owner
  const read = <T>(work: (tx: Transaction) => Promise<T>) => inScope({ role: 'office', businessId, personId }, work)
  const { rows } = await partsPage(owner, now)
  const shortages = (await read((tx) => shortagesAhead(tx, businessId, now))) ?? []
  return {
    rows,
    shortages,
    byHand: (partName: string, until: string) => read((tx) => countByHand(tx, partName, until)),
  }
}

/** On hand by adding up all moves that nothing corrects; surely wanted at visits up to a day by the due dates alone. */
async function countByHand(tx: Transaction, partName: string, until: string) {
  const part = await tx.part.findFirstOrThrow({ where: { name: partName }, include: { partFits: true } })
  const moves = await tx.stockMove.findMany({ where: { partId: part.id } })
  const corrected = new Set(moves.flatMap(({ correctsId }) => correctsId ?? []))
  let onHand = 0
  for (const move of moves) {
    if (corrected.has(move.id)) continue
    if (move.toPlaceId) onHand += move.quantity.toNumber()
    if (move.fromPlaceId) onHand -= move.quantity.toNumber()
  }
  const visits = await tx.visit.findMany({
    where: { state: { in: ['booked', 'under_way'] }, localDate: { lte: new Date(until) } },
    orderBy: { localDate: 'asc' },
  })
  const items = await tx.dueItem.findMany({
    where: { careTask: { in: part.partFits.map(({ careTask }) => careTask) }, equipment: { removedOn: null } },
    include: { equipment: true },
  })
  const wanted = items.filter(({ tankId, dueOn }) => {
    const askedBy = visits.filter((visit) => visit.tankId === tankId)
    return askedBy.some(({ localDate }) => dueOn && dueOn.getTime() <= localDate.getTime() + 14 * 86_400_000)
  })
  return { onHand, wanted: wanted.length }
}
