import 'server-only'
import type { StockMove } from '@/generated/prisma/client'
import { type CommandContext, defineCommand } from '../frame/command'
import { asDbDate } from '../frame/days'
import { done, invalid, refused } from '../frame/result'
import { rowId } from '../frame/row-ids'
import { addMove, correctMove, differenceColumns, lockParts, type NewMove } from './moves'
import { partOf } from './part-commands'
import { isAhead, NO_PART, NO_PLACE, NOT_YET } from './parts-command'
import { openPlace } from './place-commands'
import {
  correctMoveSchema,
  countSchema,
  FIGURE_PREFIX,
  fitsUnit,
  moveSchema,
  NOT_WHOLE,
  readQuantity,
  receiveSchema,
  takeOffSchema,
} from './schema'
import { holdingOf, holdings } from './stock'

type Typed = { partId: string; quantity: string; movedOn: string; note: string }

/** Puts what came onto a shelf or into a van; against an order it counts there, and the last of it closes the order. */
export const receive = defineCommand(
  { kind: 'parts.receive', may: 'parts.change', schema: receiveSchema },
  async (context, input) => {
    const { actor } = context
    const partOrderId = input.orderId || null
    const move = await typedMove(context, input, { kind: 'received', toPlaceId: input.placeId, partOrderId })
    if (!move.ok) return move
    if (partOrderId) {
      const refusal = await countOnOrder(context, partOrderId, move.value)
      if (refusal) return refusal
    }
    await addMove({ ...context, businessId: actor.businessId }, move.value)
    return done({ moveId: move.value.id })
  },
)

/** From one place to another. More than lies there on paper is refused: count first, so that nothing goes wrong in silence. */
export const moveStock = defineCommand(
  { kind: 'parts.move', may: 'parts.change', schema: moveSchema },
  async (context, input) => {
    const { actor } = context
    const { fromPlaceId, toPlaceId } = input
    const move = await typedMove(context, input, { kind: 'moved', fromPlaceId, toPlaceId })
    if (!move.ok) return move
    const short = await shortfall(context, move.value)
    if (short) return short
    await addMove({ ...context, businessId: actor.businessId }, move.value)
    return done({ moveId: move.value.id })
  },
)

/** Thrown away, or sent back to the supplier. */
export const takeOff = defineCommand(
  { kind: 'parts.take-off', may: 'parts.change', schema: takeOffSchema },
  async (context, input) => {
    const { actor } = context
    const move = await typedMove(context, input, { kind: input.kind, fromPlaceId: input.placeId })
    if (!move.ok) return move
    const short = await shortfall(context, move.value)
    if (short) return short
    await addMove({ ...context, businessId: actor.businessId }, move.value)
    return done({ moveId: move.value.id })
  },
)

/** Says how much a move should have been. A use at a visit is corrected there, a count by counting again. */
export const correctStockMove = defineCommand(
  { kind: 'parts.correct-move', may: 'parts.change', schema: correctMoveSchema },
  async (context, input) => {
    const { tx, actor, commandId } = context
    const { businessId } = actor
    const named = await tx.stockMove.findFirst({ where: { businessId, id: input.moveId } })
    if (!named) return refused('not-found', 'This move is not in the list any more. Reload the page.')
    await lockParts(tx, businessId, [named.partId])
    const head = await tx.stockMove.findFirst({ where: { businessId, id: named.id, correctedBy: { is: null } } })
    if (!head) return refused('already-so', 'This move was corrected already. Reload the page and correct the newest.')
    if (head.kind === 'used')
      return refused('does-not-fit', 'A part used at a visit is corrected in the record of that visit.')
    if (head.kind === 'counted')
      return refused('does-not-fit', 'Count the place again: the newest count is what holds.')
    const quantity = readQuantity(input.quantity) ?? 0
    const part = await partOf(context, head.partId)
    if (part && !fitsUnit(quantity, part.unit)) return invalid({ quantity: [NOT_WHOLE] })
    const before = await heldAtEnds(context, head)
    if (head.partOrderId) await putBackOnOrder(context, head, quantity - head.quantity.toNumber())
    const { correctsId: _, createdAt: __, commandId: ___, personId: ____, note: _____, counted: ______, ...row } = head
    const said = { id: commandId, quantity, note: input.note, personId: actor.personId }
    await correctMove({ ...context, businessId }, row, said)
    const emptied = (await heldAtEnds(context, head)).find(
      ({ held }, end) => held < Math.min(0, before[end]?.held ?? 0),
    )
    // What was written is rolled back with the refusal.
    if (emptied) return invalid({ quantity: [await overdrawnWords(context, emptied.placeId, before)] })
    return done({ moveId: commandId })
  },
)

/** Sets what lies in a place by what somebody counted. Parts that nobody wrote a figure for stay as they are. */
export const countPlace = defineCommand(
  { kind: 'parts.count', may: 'parts.change', schema: countSchema },
  async (context, input) => {
    const { tx, actor, commandId } = context
    const { businessId, personId } = actor
    const place = await openPlace(context, input.placeId)
    if (!place) return NO_PLACE
    if (await isAhead(context, input.countedOn)) return invalid({ countedOn: [NOT_YET] })
    const partIds = input.counts.map(({ partId }) => partId)
    await lockParts(tx, businessId, partIds)
    const known = await tx.part.findMany({
      where: { businessId, id: { in: partIds } },
      select: { id: true, unit: true },
    })
    if (known.length !== new Set(partIds).size) return NO_PART
    const unitOf = new Map(known.map(({ id, unit }) => [id, unit]))
    const halves = input.counts.filter(({ partId, quantity }) => !fitsUnit(quantity, unitOf.get(partId) ?? ''))
    if (halves.length > 0)
      return invalid(Object.fromEntries(halves.map(({ partId }) => [`${FIGURE_PREFIX}${partId}`, [NOT_WHOLE]])))
    const later = await tx.stockMove.findFirst({
      where: {
        ...{ businessId, partId: { in: partIds }, movedOn: { gt: asDbDate(input.countedOn) } },
        ...{ correctedBy: { is: null }, OR: [{ fromPlaceId: place.id }, { toPlaceId: place.id }] },
      },
      select: { part: { select: { name: true } } },
    })
    if (later)
      return invalid({ countedOn: [`Something moved after that day (${later.part.name}). Count as it is today.`] })
    const held = new Map(
      (await holdings(tx, businessId, { partIds, placeId: place.id })).map(({ partId, quantity }) => [
        partId,
        quantity,
      ]),
    )
    await tx.stockMove.createMany({
      data: input.counts.map(({ partId, quantity }) => ({
        ...differenceColumns(place.id, quantity - (held.get(partId) ?? 0)),
        ...{ businessId, partId, commandId, personId, kind: 'counted', counted: quantity },
        id: rowId(commandId, `count ${partId}`),
        movedOn: asDbDate(input.countedOn),
      })),
    })
    return done({ counted: input.counts.length })
  },
)

/** The typed move of a known part between places in use, its part locked. */
async function typedMove(context: CommandContext, input: Typed, to: Partial<NewMove> & Pick<NewMove, 'kind'>) {
  const { tx, actor, commandId } = context
  if (await isAhead(context, input.movedOn)) return invalid({ movedOn: [NOT_YET] })
  await lockParts(tx, actor.businessId, [input.partId])
  const part = await partOf(context, input.partId)
  if (!part || part.archivedAt) return NO_PART
  for (const id of [to.fromPlaceId, to.toPlaceId]) if (id && !(await openPlace(context, id))) return NO_PLACE
  const { partId, movedOn, note } = input
  const quantity = readQuantity(input.quantity) ?? 0
  if (!fitsUnit(quantity, part.unit)) return invalid({ quantity: [NOT_WHOLE] })
  const places = { fromPlaceId: null, toPlaceId: null }
  const move: NewMove = { ...places, id: commandId, partId, movedOn, note, quantity, personId: actor.personId, ...to }
  return done(move)
}

async function shortfall({ tx, actor }: CommandContext, { partId, fromPlaceId, quantity }: NewMove) {
  const there = fromPlaceId ? await holdingOf(tx, actor.businessId, { partId, placeId: fromPlaceId }) : 0
  if (quantity <= there) return null
  return invalid({
    quantity: [`On paper there ${there === 1 ? 'is' : 'are'} ${there}. Count the place first if there is more.`],
  })
}

type Ends = Pick<StockMove, 'partId' | 'fromPlaceId' | 'toPlaceId'>

/** What lies on paper where a move comes from and where it goes to. */
async function heldAtEnds({ tx, actor }: CommandContext, { partId, fromPlaceId, toPlaceId }: Ends) {
  const ends: { placeId: string; held: number }[] = []
  for (const placeId of [fromPlaceId, toPlaceId])
    if (placeId) ends.push({ placeId, held: await holdingOf(tx, actor.businessId, { partId, placeId }) })
  return ends
}

async function overdrawnWords(
  { tx, actor }: CommandContext,
  placeId: string,
  before: readonly { placeId: string; held: number }[],
): Promise<string> {
  const place = await tx.stockPlace.findFirst({ where: { businessId: actor.businessId, id: placeId } })
  const there = Math.max(0, before.find((end) => end.placeId === placeId)?.held ?? 0)
  const lies = `${there === 1 ? 'is' : 'are'} ${there}`
  return `On paper there ${lies} in ${place?.name ?? 'that place'}, too few for this. Count it first if there ${there === 1 ? 'is' : 'are'} more.`
}

async function countOnOrder({ tx, actor, audit }: CommandContext, orderId: string, move: NewMove) {
  const { businessId } = actor
  const order = await tx.partOrder.findFirst({ where: { businessId, id: orderId, partId: move.partId } })
  if (!order) return refused('not-found', 'This order is not in the list any more. Reload the page.')
  const receivedQuantity = order.receivedQuantity.plus(move.quantity)
  const closedOn = receivedQuantity.gte(order.quantity) ? asDbDate(move.movedOn) : order.closedOn
  await tx.partOrder.update({
    where: { businessId_id: { businessId, id: orderId } },
    data: { receivedQuantity, closedOn },
  })
  await audit('part_order', orderId, 'receive', order, { receivedQuantity, closedOn })
  return null
}

/**
 * More or less came than was said. An order that was only closed because all had come is open again for the rest; one that somebody closed
 * without the rest stays closed. The day of what makes it whole is that of the move.
 */
async function putBackOnOrder({ tx, actor, audit }: CommandContext, move: StockMove, difference: number) {
  const { businessId } = actor
  const order = await tx.partOrder.findFirstOrThrow({ where: { businessId, id: move.partOrderId ?? '' } })
  const ordered = order.quantity.toNumber()
  const receivedBefore = order.receivedQuantity.toNumber()
  const receivedQuantity = Math.max(0, receivedBefore + difference)
  const wasWhole = receivedBefore >= ordered
  const isWhole = receivedQuantity >= ordered
  const closedOn = isWhole ? (order.closedOn ?? move.movedOn) : wasWhole ? null : order.closedOn
  await tx.partOrder.update({
    where: { businessId_id: { businessId, id: order.id } },
    data: { receivedQuantity, closedOn },
  })
  await audit('part_order', order.id, 'correct', order, { receivedQuantity, closedOn })
}
