import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { asDay } from '../frame/days'
import { done, refused } from '../frame/result'
import { rowId } from '../frame/row-ids'
import { addToChain, madeBy } from './chain'
import { recordLooks } from './look-commands'
import type { Pair } from './record'
import type { CommandOf } from './schema'
import { settleUse } from './settle-use'
import { type Applied, type VisitContext, visitColumns } from './visit-context'
import { typedReading } from './water'

type Correction = CommandOf<'visit.correct'>['correction']
type Of<Kind extends Correction['of']> = Extract<Correction, { of: Kind }>

/** A correction: a new row at the end of the chain that begins with the row it names. */
export function correct(context: VisitContext, { correction }: CommandOf<'visit.correct'>): Promise<Applied> {
  switch (correction.of) {
    case 'finding':
      return recordLooks(context, [correction.look])
    case 'reading':
      return correctReading(context, correction)
    case 'renewal':
      return correctRenewal(context, correction)
    case 'part':
      return correctPart(context, correction)
  }
}

const NOT_THERE = refused('not-found', 'What you correct is not part of this visit. Reload the page.')
const AGAIN = (correctsId: string) => rowId(correctsId, 'again')

async function correctReading(context: VisitContext, correction: Of<'reading'>): Promise<Applied> {
  const { tx, commandId } = context
  const { targetId, quantity, enteredValue, enteredUnit } = correction
  const head = await newest(context, targetId, (id) => tx.reading.findFirst(find(context, id)))
  if (!head) return NOT_THERE
  if (head.quantity !== quantity) return refused('does-not-fit', 'A reading is corrected by one of the same quantity.')
  const stored = typedReading(correction)
  if ('wrong' in stored) return refused('does-not-fit', stored.wrong)
  const said = { enteredValue, enteredUnit, unit: stored.unit, value: stored.value.toFixed(6), commandId }
  const { correctedBy: _, ...row } = head
  await append(context, row, (id, correctsId, own) =>
    tx.reading.create({ data: { ...row, ...(own ? said : {}), id, correctsId } }),
  )
  return done({ touched: [] })
}

async function correctRenewal(context: VisitContext, correction: Of<'renewal'>): Promise<Applied> {
  const { tx, commandId, madeAt, deviceSeq } = context
  const { targetId, reason, partial } = correction
  const head = await newest(context, targetId, (id) => tx.renewal.findFirst(find(context, id)))
  if (!head) return NOT_THERE
  const { correctedBy: _, ...row } = head
  await append(context, row, (id, correctsId, own) =>
    tx.renewal.create({
      data: { ...row, ...(own ? { reason, isPartial: partial, commandId, madeAt, deviceSeq } : {}), id, correctsId },
    }),
  )
  const touched: Pair[] = [{ equipmentId: row.equipmentId, mode: row.failureMode }]
  return done({ touched })
}

/** Billed or not: what a correction changes of an amount is proposed to be billed, or credited, beside what stands. */
async function correctPart(context: VisitContext, correction: Of<'part'>): Promise<Applied> {
  const { tx, actor, commandId } = context
  const { targetId, priceItemId, partId, description, quantity, billable } = correction
  const head = await newest(context, targetId, (id) => tx.partUsed.findFirst(find(context, id)))
  if (!head) return NOT_THERE
  if (partId && !(await tx.part.findFirst({ where: { businessId: actor.businessId, id: partId } })))
    return refused('does-not-fit', 'This part is not in the list of parts. Reload the page, or write it in words.')
  const { correctedBy: _, ...row } = head
  const said = { priceItemId, ...(partId === undefined ? {} : { partId }), description, quantity, billable, commandId }
  await append(context, row, (id, correctsId, own) =>
    tx.partUsed.create({ data: { ...row, ...(own ? said : {}), id, correctsId } }),
  )
  await settleChain(context, head.id)
  return done({ touched: [] })
}

/** Stock follows the newest words of a use, whichever of the chain's rows they stand in. */
async function settleChain(context: VisitContext, id: string): Promise<void> {
  const { tx, actor } = context
  const { businessId } = actor
  const rows = await tx.partUsed.findMany({ where: { businessId, visitId: context.visit.id } })
  const chain = [id]
  for (let before = rowOf(rows, id)?.correctsId; before; before = rowOf(rows, before)?.correctsId) chain.push(before)
  let newest = rowOf(rows, id)
  for (let next = newest; next; next = rows.find(({ correctsId }) => correctsId === next?.id)) {
    newest = next
    chain.push(next.id)
  }
  if (!newest) return
  const { partId, quantity, usedOn } = newest
  await settleUse(context, chain, { id: newest.id, partId, quantity: quantity.toNumber(), usedOn: asDay(usedOn) })
}

const rowOf = <Row extends { id: string }>(rows: readonly Row[], id: string) => rows.find((row) => row.id === id)

function find(context: VisitContext, id: string) {
  const { businessId, visitId } = visitColumns(context)
  return { where: { businessId, visitId, id }, include: { correctedBy: { select: { id: true } } } } as const
}

/** The last row of the chain in which `id` stands, or null where it is not of this visit. */
async function newest<Row extends { correctedBy: { id: string } | null }>(
  _context: VisitContext,
  id: string,
  read: (id: string) => Promise<Row | null>,
): Promise<Row | null> {
  let row = await read(id)
  while (row?.correctedBy) row = await read(row.correctedBy.id)
  return row
}

async function append(
  context: VisitContext,
  head: { id: string; commandId: string | null },
  create: (
    id: string,
    correctsId: string,
    own: boolean,
  ) => ReturnType<Transaction['reading']['create']> | Promise<unknown>,
): Promise<void> {
  const made = head.commandId === null ? undefined : (await madeBy(context, [head.commandId])).get(head.commandId)
  await addToChain(context, head, made, {
    row: async () => {
      await create(context.commandId, head.id, true)
      return context.commandId
    },
    reapplyHead: async (correctsId) => {
      await create(AGAIN(correctsId), correctsId, false)
    },
  })
}
