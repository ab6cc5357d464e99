import 'server-only'
import { type Actor, inBusiness } from '../frame/actor'

/** Suppliers in use, with how many parts come from each and how long their last deliveries took. */
export function suppliersPage(actor: Actor) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const rows = await tx.supplier.findMany({
      where: { businessId, archivedAt: null },
      include: { _count: { select: { parts: { where: { archivedAt: null } } } } },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    })
    const took = await tx.$queryRaw<{ supplierId: string; deliveries: number; days: number }[]>`
      SELECT supplier_id AS "supplierId", count(*)::int AS deliveries, avg(closed_on - ordered_on)::float AS days
      FROM part_order WHERE business_id = ${businessId}::uuid AND closed_on IS NOT NULL AND received_quantity >= quantity
        AND supplier_id IS NOT NULL GROUP BY supplier_id`
    return {
      businessId,
      suppliers: rows.map(({ id, name, email, phone, note, leadTimeDays, _count }) => ({
        ...{ id, name, email, phone, note, leadTimeDays, parts: _count.parts },
        took: took.find(({ supplierId }) => supplierId === id) ?? null,
      })),
    }
  })
}
