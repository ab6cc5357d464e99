import 'server-only'
import { refillKindOf } from '@/lib/trade'
import { notThere } from '../clients/register-command'
import { type OneRowInput, oneRowSchema } from '../clients/schema'
import type { Actor } from '../frame/actor'
import { type CommandContext, defineCommand } from '../frame/command'
import { asDbDate, dayIn } from '../frame/days'
import { done, invalid, refused } from '../frame/result'
import { filledToLess } from './filled-to-less'
import {
  addReservoirSchema,
  correctLevelSchema,
  editReservoirSchema,
  levelOf,
  type ReservoirFields,
  recordLevelSchema,
} from './schema'

/** Sets up a container at a tank. Its id is the command's. */
export const addReservoir = defineCommand(
  { kind: 'reservoir.add', may: 'register.change', schema: addReservoirSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const { businessId } = actor
    const { tankId } = input
    const tank = await tx.tank.findFirst({ where: { businessId, id: tankId, mergedIntoId: null } })
    if (!tank) return notThere('tank')
    if (!(await isDeviceOf(context, input.equipmentId, tankId)))
      return invalid({ equipmentId: ['This device is not at this tank any more. Choose another.'] })
    const row = await tx.reservoir.create({ data: { businessId, id: commandId, tankId, ...columnsOf(input) } })
    await audit('reservoir', commandId, 'add', undefined, row)
    return done({ reservoirId: commandId, tankId })
  },
)

/** Puts right what is written about a container. Its unit stays once levels stand in it. */
export const editReservoir = defineCommand(
  { kind: 'reservoir.edit', may: 'register.change', schema: editReservoirSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const { businessId } = actor
    const { reservoirId } = input
    const before = await tx.reservoir.findFirst({
      where: { businessId, id: reservoirId },
      include: { _count: { select: { reservoirLevels: true } } },
    })
    if (!before) return notThere('container')
    const { _count, ...row } = before
    if (row.unit !== input.unit && _count.reservoirLevels > 0)
      return invalid({
        unit: [`Its levels are written in ${row.unit}. Archive it and set up another to count in ${input.unit}.`],
      })
    if (!(await isDeviceOf(context, input.equipmentId, row.tankId)))
      return invalid({ equipmentId: ['This device is not at this tank any more. Choose another.'] })
    const after = await tx.reservoir.update({
      where: { businessId_id: { businessId, id: reservoirId } },
      data: columnsOf(input),
    })
    await audit('reservoir', reservoirId, 'edit', row, after)
    return done({ reservoirId, tankId: row.tankId })
  },
)

/** Takes a container out of use; what was written of it stays. */
export const putAwayReservoir = defineCommand(
  { kind: 'reservoir.archive', may: 'register.change', schema: oneRowSchema },
  (context, { id }) => setArchived(context, id, context.madeAt),
)

/** Takes a container back into use. */
export const restoreReservoir = defineCommand(
  { kind: 'reservoir.restore', may: 'register.change', schema: oneRowSchema },
  (context, { id }) => setArchived(context, id, null),
)

/** Takes a container out of use, or with `back` into it again. */
export function archiveReservoir(actor: Actor, { back = false, ...input }: OneRowInput & { back?: boolean }) {
  return back ? restoreReservoir(actor, input) : putAwayReservoir(actor, input)
}

async function setArchived({ tx, actor, audit }: CommandContext, id: string, archivedAt: Date | null) {
  const { businessId } = actor
  const { count } = await tx.reservoir.updateMany({
    where: { businessId, id, archivedAt: archivedAt ? null : { not: null } },
    data: { archivedAt },
  })
  const row = await tx.reservoir.findFirst({ where: { businessId, id } })
  if (!row) return notThere('container')
  if (count === 0) return refused('already-so', 'That was done already. Reload the page.')
  await audit('reservoir', id, archivedAt ? 'archive' : 'restore', undefined, { archivedAt: row.archivedAt })
  return done({ reservoirId: id, tankId: row.tankId })
}

/** Writes down a level that somebody told outside a visit. At a visit it is said there (`visit.levels`). */
export const recordLevel = defineCommand(
  { kind: 'reservoir.level', may: 'visit.log', schema: recordLevelSchema },
  async (context, input) => {
    const { actor } = context
    const { reservoirId } = input
    const { businessId } = actor
    const reservoir = await context.tx.reservoir.findFirst({ where: { businessId, id: reservoirId } })
    if (!reservoir) return notThere('container')
    const levels = await levelsIn(context, reservoir, input)
    if (!levels.ok) return levels
    await context.tx.reservoirLevel.create({
      data: {
        businessId,
        id: context.commandId,
        reservoirId,
        ...levels.value,
        commandId: context.commandId,
        madeAt: context.madeAt,
      },
    })
    return done({ reservoirId, tankId: reservoir.tankId })
  },
)

/** A record as it should have read: a new row at the end of its chain. One of a visit is said again at that visit. */
export const correctLevel = defineCommand(
  { kind: 'reservoir.correct-level', may: 'visit.log', schema: correctLevelSchema },
  async (context, input) => {
    const { tx, actor, commandId, madeAt } = context
    const { businessId } = actor
    const row = await tx.reservoirLevel.findFirst({
      where: { businessId, id: input.levelId },
      include: { reservoir: true, correctedBy: { select: { id: true } } },
    })
    if (!row) return notThere('level')
    if (row.correctedBy) return refused('already-so', 'Somebody has put this right already. Reload the page.')
    if (row.visitId)
      return refused('does-not-fit', 'This level was said at a visit: say it again there, below its work.')
    const levels = await levelsIn(context, row.reservoir, input)
    if (!levels.ok) return levels
    const { reservoirId } = row
    await tx.reservoirLevel.create({
      data: { businessId, id: commandId, reservoirId, correctsId: row.id, ...levels.value, commandId, madeAt },
    })
    return done({ reservoirId, tankId: row.reservoir.tankId })
  },
)

type Typed = { measuredOn: string; levelBefore: string; levelAfter: string }
type Figure = { toNumber: () => number }
type Reservoir = {
  id: string
  businessId: string
  kind: string
  label: string
  unit: string
  capacity: Figure
  emptyAt: Figure
}

/**
 * The columns of a level as typed; refused where it is of a day to come, more than the container holds, or where a filling
 * leaves less than was in it.
 */
async function levelsIn({ tx, madeAt }: CommandContext, reservoir: Reservoir, typed: Typed) {
  const { timeZone } = await tx.business.findUniqueOrThrow({
    where: { id: reservoir.businessId },
    select: { timeZone: true },
  })
  if (typed.measuredOn > dayIn(timeZone, madeAt)) return invalid({ measuredOn: ['That day is still to come.'] })
  const most = reservoir.capacity.toNumber()
  const levels = { levelBefore: levelOf(typed.levelBefore), levelAfter: levelOf(typed.levelAfter) }
  for (const [name, level] of Object.entries(levels))
    if (level !== null && level > most)
      return invalid({ [name]: [`It holds ${most} ${reservoir.unit} full. Check the figure.`] })
  const { businessId, id, label, unit } = reservoir
  const emptyAt = reservoir.emptyAt.toNumber()
  const less = filledToLess(
    { label, unit, emptyAt, kind: refillKindOf(reservoir.kind) },
    { before: levels.levelBefore, after: levels.levelAfter },
    await wasEmptiedOn(tx, { businessId, reservoirId: id, measuredOn: asDbDate(typed.measuredOn) }, emptyAt),
  )
  if (less !== null) return invalid({ levelAfter: [less] })
  return done({ measuredOn: asDbDate(typed.measuredOn), ...levels })
}

/** Whether it was said of that day that the container was left empty. */
async function wasEmptiedOn(
  tx: CommandContext['tx'],
  at: { businessId: string; reservoirId: string; measuredOn: Date },
  emptyAt: number,
): Promise<boolean> {
  return (await tx.reservoirLevel.count({ where: { ...at, correctedBy: null, levelAfter: { lte: emptyAt } } })) > 0
}

/** A device of this tank that is in place, or none at all. */
async function isDeviceOf({ tx, actor }: CommandContext, equipmentId: string, tankId: string): Promise<boolean> {
  if (equipmentId === '') return true
  const { businessId } = actor
  return (await tx.equipment.count({ where: { businessId, id: equipmentId, tankId, removedOn: null } })) === 1
}

/** The schema has refused what cannot be read. */
function columnsOf({ kind, label, equipmentId, unit, capacity, emptyAt, filledBy }: ReservoirFields) {
  return {
    ...{ kind, label, unit, filledBy, equipmentId: equipmentId === '' ? null : equipmentId },
    capacity: levelOf(capacity) ?? 0,
    emptyAt: levelOf(emptyAt) ?? 0,
  }
}
