import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { rowId } from '../frame/row-ids'
import type { Pair } from './record'
import { againId, endsOfChains, ofVisit, originOf, wasSaid } from './rows-in-line'
import { settleUse } from './settle-use'
import { dayColumn, type VisitContext } from './visit-context'
import { storedReading } from './water'

/** Of a reading that was taken back: no quantity, so that nobody who asks for one finds it. */
const NO_QUANTITY = ''

/** Figures of the water, as they were typed and in the stored unit. */
export async function writeReadings(context: VisitContext): Promise<Pair[]> {
  const { tx, record, rows } = context
  const ofWater = rows.readings.filter(({ equipmentId }) => equipmentId === null)
  const heads = new Map(endsOfChains(ofWater).map(({ rootId, row }) => [rootId, row]))
  const added: Prisma.ReadingCreateManyInput[] = []
  for (const reading of record.readings) {
    const { id, quantity, enteredValue, enteredUnit, by } = reading
    const head = heads.get(id)
    heads.delete(id)
    const same = head?.enteredValue === enteredValue && head.enteredUnit === enteredUnit && head.quantity === quantity
    if (same || by === null) continue
    const { commandId, madeAt, day } = originOf(context, by)
    const stored = storedReading(reading)
    if ('wrong' in stored) continue // refused before it came here
    added.push({
      ...(head ?? { ...ofVisit(context), takenAt: madeAt, takenOn: dayColumn(day) }),
      ...{ quantity, enteredValue, enteredUnit, unit: stored.unit, value: stored.value.toFixed(6), commandId },
      ...(head ? { id: againId(context, head.id), correctsId: head.id } : { id }),
    })
  }
  for (const head of heads.values())
    if (head.quantity !== NO_QUANTITY && wasSaid(context, head))
      added.push({
        ...{ ...head, quantity: NO_QUANTITY, enteredValue: '', value: '0', commandId: context.commandId },
        ...{ id: rowId(context.commandId, `unsaid ${head.id}`), correctsId: head.id },
      })
  if (added.length > 0) await tx.reading.createMany({ data: added })
  return []
}

/** Stock follows the newest words of each use. Billed or not: what is put right of an amount is proposed to be billed, or credited. */
export async function writeParts(context: VisitContext): Promise<Pair[]> {
  const { tx, record, rows } = context
  const heads = new Map(endsOfChains(rows.partUseds).map(({ rootId, row }) => [rootId, row]))
  const standing = new Map(record.parts.map((part) => [part.id, part]))
  for (const rootId of new Set([...standing.keys(), ...heads.keys()])) {
    const head = heads.get(rootId)
    const part = standing.get(rootId)
    if (part ? part.by === null : !head || !wasSaid(context, head)) continue
    const said = part
      ? {
          priceItemId: part.priceItemId,
          partId: part.partId,
          description: part.description,
          quantity: part.quantity,
          billable: part.billable,
        }
      : {
          priceItemId: head?.priceItemId ?? null,
          partId: head?.partId ?? null,
          description: head?.description ?? '',
          quantity: 0,
          billable: false,
        }
    if (head && head.quantity.toNumber() === said.quantity && sameUse(head, said)) continue
    const { commandId, madeAt, day } = originOf(context, part?.by ?? null)
    const id = head ? againId(context, head.id) : rootId
    const usedOn = head?.usedOn ?? dayColumn(day)
    await tx.partUsed.create({
      data: { ...(head ?? ofVisit(context)), ...said, id, usedOn, commandId, ...(head && { correctsId: head.id }) },
    })
    const chain = head ? [id, ...chainOf(rows.partUseds, head.id)] : []
    const saying = { ...context, commandId: commandId ?? context.commandId, madeAt }
    await settleUse(saying, chain, {
      id,
      partId: said.partId,
      quantity: said.quantity,
      usedOn: usedOn.toISOString().slice(0, 10),
    })
  }
  return []
}

type PartRow = VisitContext['rows']['partUseds'][number]
type Use = Pick<PartRow, 'priceItemId' | 'partId' | 'description' | 'billable'>
const sameUse = (row: Use, said: Use) =>
  row.priceItemId === said.priceItemId &&
  row.partId === said.partId &&
  row.description === said.description &&
  row.billable === said.billable

/** A row's id and those of all it corrects, the newest first. */
function chainOf(rows: readonly PartRow[], id: string): string[] {
  const before = rows.find((row) => row.id === id)?.correctsId
  return before ? [id, ...chainOf(rows, before)] : [id]
}
