import 'server-only'
import { inScope, type Scope } from '@/lib/platform/db/scope'

/**
 * Makes what lies where again from all moves: the rows that the trigger on `stock_move` keeps. Writers of stock wait for it, as they wait
 * for each other, by the locks of their parts.
 */
export async function rebuildStock(who: Omit<Scope & { role: 'office' }, 'role'>): Promise<void> {
  const { businessId } = who
  await inScope({ role: 'office', ...who }, async (tx) => {
    await tx.$queryRaw`SELECT 1 FROM part WHERE business_id = ${businessId}::uuid ORDER BY id FOR NO KEY UPDATE`
    await tx.stockOnHand.deleteMany({ where: { businessId } })
    await tx.$executeRaw`
      INSERT INTO stock_on_hand (business_id, part_id, place_id, quantity)
      SELECT move.business_id, move.part_id, side.place_id, sum(side.change)
      FROM stock_move move
      CROSS JOIN LATERAL (VALUES (move.to_place_id, move.quantity), (move.from_place_id, -move.quantity)) side (place_id, change)
      WHERE move.business_id = ${businessId}::uuid AND side.place_id IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM stock_move later WHERE later.business_id = move.business_id AND later.corrects_id = move.id)
      GROUP BY move.business_id, move.part_id, side.place_id`
  })
}
