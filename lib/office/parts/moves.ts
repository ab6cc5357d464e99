import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import type { CommandContext } from '../frame/command'
import { asDbDate } from '../frame/days'
import { rowId } from '../frame/row-ids'

export type MoveKind = 'received' | 'moved' | 'used' | 'counted' | 'returned' | 'written-off'
export type NewMove = {
  id: string
  partId: string
  kind: MoveKind
  fromPlaceId: string | null
  toPlaceId: string | null
  quantity: number
  movedOn: string
  note?: string
  personId?: string | null
  visitId?: string | null
  partUsedId?: string | null
  partOrderId?: string | null
}

/** What every write of stock works with. */
export type StockContext = CommandContext & { businessId: string }

/** Writers of one part's stock wait for each other, so that a count sees all that came before it. Sorted: no deadlock. */
export async function lockParts(tx: Transaction, businessId: string, partIds: readonly string[]): Promise<void> {
  await tx.$queryRaw`
    SELECT 1 FROM part WHERE business_id = ${businessId}::uuid AND id = ANY (${[...partIds]}::uuid[])
    ORDER BY id FOR NO KEY UPDATE`
}

/**
 * Writes a move, and where somebody counted after it the count takes it up: what was counted then stays true, however late
 * the move is told.
 */
export async function addMove(context: StockContext, move: NewMove): Promise<void> {
  const { tx, businessId, commandId } = context
  const { movedOn, ...columns } = move
  await tx.stockMove.create({ data: { ...columns, businessId, commandId, movedOn: asDbDate(movedOn) } })
  const at = { movedOn, at: context.madeAt }
  for (const { placeId, change } of effects(move))
    await takeUpInCount(context, { partId: move.partId, placeId, change, ...at })
}

type CurrentMove = {
  id: string
  partId: string
  fromPlaceId: string | null
  toPlaceId: string | null
  kind: string
  quantity: { toNumber(): number }
  movedOn: Date
  visitId: string | null
  partUsedId: string | null
  partOrderId: string | null
}

/** Says of a move how much it should have been; 0: it never happened. The count after it, if any, takes the difference up. */
export async function correctMove(
  context: StockContext,
  head: CurrentMove,
  { id, quantity, note, personId }: { id: string; quantity: number; note: string; personId: string | null },
): Promise<void> {
  const { tx, businessId, commandId } = context
  const { id: correctsId, quantity: before, ...row } = head
  await tx.stockMove.create({
    data: { ...row, businessId, id, quantity, note, personId, commandId, correctsId },
  })
  const [first] = await tx.$queryRaw<{ at: Date }[]>`
    WITH RECURSIVE chain AS (
      SELECT id, corrects_id, command_id, created_at FROM stock_move
      WHERE business_id = ${businessId}::uuid AND id = ${correctsId}::uuid
      UNION ALL
      SELECT move.id, move.corrects_id, move.command_id, move.created_at FROM stock_move move
      JOIN chain ON move.id = chain.corrects_id WHERE move.business_id = ${businessId}::uuid)
    SELECT coalesce(command.made_at + command.clock_offset_ms * interval '1 ms', chain.created_at) AS at
    FROM chain LEFT JOIN command ON command.business_id = ${businessId}::uuid AND command.id = chain.command_id
    WHERE chain.corrects_id IS NULL`
  const movedOn = head.movedOn.toISOString().slice(0, 10)
  const difference = quantity - before.toNumber()
  if (difference === 0) return
  for (const { placeId, change } of effects({ ...head, quantity: difference }))
    await takeUpInCount(context, { partId: head.partId, placeId, change, movedOn, at: first?.at ?? context.madeAt })
}

/** What a move does to each place, signed. */
function effects({ fromPlaceId, toPlaceId, quantity }: Pick<NewMove, 'fromPlaceId' | 'toPlaceId' | 'quantity'>) {
  return [
    ...(fromPlaceId ? [{ placeId: fromPlaceId, change: -quantity }] : []),
    ...(toPlaceId ? [{ placeId: toPlaceId, change: quantity }] : []),
  ]
}

/** A difference found by counting as the columns of its move: into the place, or out of it. */
export function differenceColumns(placeId: string, difference: number) {
  const rounded = Math.round(difference * 1000) / 1000
  return rounded < 0
    ? { fromPlaceId: placeId, toPlaceId: null, quantity: -rounded }
    : { fromPlaceId: null, toPlaceId: placeId, quantity: rounded }
}

type Happened = { partId: string; placeId: string; change: number; movedOn: string; at: Date }

async function takeUpInCount(context: StockContext, { partId, placeId, change, movedOn, at }: Happened): Promise<void> {
  const { tx, businessId, commandId } = context
  const [count] = await tx.$queryRaw<{ id: string; signed: number; counted: number; countedOn: Date }[]>`
    WITH RECURSIVE chain AS (
      SELECT move.id, move.moved_on,
        coalesce(command.made_at + command.clock_offset_ms * interval '1 ms', move.created_at) AS at
      FROM stock_move move
      LEFT JOIN command ON command.business_id = move.business_id AND command.id = move.command_id
      WHERE move.business_id = ${businessId}::uuid AND move.part_id = ${partId}::uuid AND move.kind = 'counted'
        AND move.corrects_id IS NULL AND ${placeId}::uuid IN (move.from_place_id, move.to_place_id)
      UNION ALL
      SELECT later.id, chain.moved_on, chain.at FROM stock_move later
      JOIN chain ON later.corrects_id = chain.id WHERE later.business_id = ${businessId}::uuid)
    SELECT move.id, move.counted::float AS counted, move.moved_on AS "countedOn",
      (CASE WHEN move.to_place_id = ${placeId}::uuid THEN move.quantity ELSE -move.quantity END)::float AS signed
    FROM chain JOIN stock_move move ON move.business_id = ${businessId}::uuid AND move.id = chain.id
    WHERE (chain.moved_on, chain.at) > (${movedOn}::date, ${at}::timestamptz)
      AND NOT EXISTS (SELECT 1 FROM stock_move next WHERE next.business_id = move.business_id AND next.corrects_id = move.id)
    ORDER BY chain.moved_on, chain.at LIMIT 1`
  if (!count) return
  await tx.stockMove.create({
    data: {
      ...{ businessId, partId, commandId, kind: 'counted', movedOn: count.countedOn, counted: count.counted },
      ...differenceColumns(placeId, count.signed - change),
      id: rowId(commandId, `taken up ${count.id}`),
      correctsId: count.id,
      note: 'A move from before this count was told later.',
    },
  })
}
