import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { fitsOf, readFits } from './fits'

/** A part as the page of a visit's work offers it. */
export type PartChoice = {
  partId: string
  priceItemId: string | null
  name: string
  unit: string
  /** What the van holds on paper; null where whoever asks has none. */
  onVan: number | null
}
export type VisitParts = {
  choices: PartChoice[]
  vanName: string | null
  /** What a piece of work on a device uses. */
  usedBy: (equipmentId: string, careTask: string) => { part: PartChoice; quantity: number }[]
}

/** The parts that the business keeps, what the asker's van holds of each and which work uses them. */
export async function visitParts(
  tx: Transaction,
  businessId: string,
  { personId, technicianId }: { personId: string; technicianId: string | null },
): Promise<VisitParts> {
  const parts = await tx.part.findMany({
    where: { businessId, archivedAt: null },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
    select: { id: true, name: true, unit: true, priceItemId: true },
  })
  if (parts.length === 0) return { choices: [], vanName: null, usedBy: () => [] }
  const vans = await tx.stockPlace.findMany({
    where: {
      businessId,
      kind: 'van',
      archivedAt: null,
      personId: { in: [personId, ...(technicianId === null ? [] : [technicianId])] },
    },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
    select: { name: true, personId: true, onHand: { select: { partId: true, quantity: true } } },
  })
  const van = vans.find((one) => one.personId === personId) ?? vans[0]
  const onVan = new Map(van?.onHand.map(({ partId, quantity }) => [partId, quantity.toNumber()]))
  const choices = parts.map(
    ({ id, name, unit, priceItemId }): PartChoice => ({
      ...{ partId: id, name, unit, priceItemId, onVan: van ? (onVan.get(id) ?? 0) : null },
    }),
  )
  const fits = await readFits(tx, businessId)
  return {
    choices: choices.toSorted((a, b) => Number((b.onVan ?? 0) > 0) - Number((a.onVan ?? 0) > 0)),
    vanName: van?.name ?? null,
    usedBy: (equipmentId, careTask) =>
      fitsOf(fits, { equipmentId, careTask }).flatMap(({ partId, quantity }) => {
        const part = choices.find((choice) => choice.partId === partId)
        return part ? [{ part, quantity }] : []
      }),
  }
}
