import 'server-only'
import { refillKindOf } from '@/lib/trade'
import type { Actor } from '../actor'
import { type AuditedContext, asJson, audited } from '../audited'
import { asDbDate, dayIn } from '../clients/days'
import { changeRegister, notThere, type RegisterReason } from '../clients/register-command'
import { runCommand } from '../command'
import { mayDo } from '../people/role-actions'
import { done, invalid, OTHER_BUSINESS, type Result, refused } from '../result'
import { filledToLess } from './filled-to-less'
import {
  type AddReservoirInput,
  type CorrectLevelInput,
  type EditReservoirInput,
  levelOf,
  type RecordLevelInput,
  type ReservoirFields,
} from './schema'

type RefillResult = Promise<Result<{ reservoirId: string; tankId: string }, RegisterReason>>

/** Sets up a container at a tank. Its id is the command's. */
export function addReservoir(actor: Actor, input: AddReservoirInput): RefillResult {
  return changeRegister(actor, 'reservoir.add', input, async (context) => {
    const { tx, commandId, audit } = context
    const { businessId } = actor
    const { tankId } = input
    const tank = await tx.tank.findFirst({ where: { businessId, id: tankId, mergedIntoId: null } })
    if (!tank) return notThere('tank')
    if (!(await isDeviceOf(context, input.equipmentId, tankId)))
      return invalid({ equipmentId: ['This device is not at this tank any more. Choose another.'] })
    const row = await tx.reservoir.create({ data: { businessId, id: commandId, tankId, ...columnsOf(input) } })
    await audit('reservoir', commandId, 'add', undefined, row)
    return done({ reservoirId: commandId, tankId })
  })
}

/** Puts right what is written about a container. Its unit stays once levels stand in it. */
export function editReservoir(actor: Actor, input: EditReservoirInput): RefillResult {
  return changeRegister(actor, 'reservoir.edit', input, async (context) => {
    const { tx, audit } = context
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
  })
}

/** Takes a container out of use, or back into it; what was written of it stays. */
export function archiveReservoir(
  actor: Actor,
  input: { commandId: string; businessId: string; id: string; back?: boolean },
): RefillResult {
  const { id, back = false } = input
  return changeRegister(
    actor,
    back ? 'reservoir.restore' : 'reservoir.archive',
    { ...input, back },
    async (context) => {
      const { tx, madeAt, audit } = context
      const { businessId } = actor
      const { count } = await tx.reservoir.updateMany({
        where: { businessId, id, archivedAt: back ? { not: null } : null },
        data: { archivedAt: back ? null : madeAt },
      })
      const row = await tx.reservoir.findFirst({ where: { businessId, id } })
      if (!row) return notThere('container')
      if (count === 0) return refused('already-so', 'That was done already. Reload the page.')
      await audit('reservoir', id, back ? 'restore' : 'archive', undefined, { archivedAt: row.archivedAt })
      return done({ reservoirId: id, tankId: row.tankId })
    },
  )
}

/** Writes down a level that somebody told outside a visit. At a visit it is said there (`visit.levels`). */
export function recordLevel(actor: Actor, input: RecordLevelInput): RefillResult {
  return changeLevels(actor, 'reservoir.level', input, async (context) => {
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
  })
}

/** A record as it should have read: a new row at the end of its chain. One of a visit is said again at that visit. */
export function correctLevel(actor: Actor, input: CorrectLevelInput): RefillResult {
  return changeLevels(actor, 'reservoir.correct-level', input, async (context) => {
    const { tx, commandId, madeAt } = context
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
  })
}

async function changeLevels<Input extends { commandId: string; businessId: string }>(
  actor: Actor,
  kind: string,
  input: Input,
  apply: (context: AuditedContext) => RefillResult,
): RefillResult {
  if (input.businessId !== actor.businessId) return OTHER_BUSINESS
  if (!mayDo(actor.roles, 'visit.log'))
    return { ok: false, reason: 'not-allowed', words: 'Only owner and technicians write down levels.' }
  return runCommand(actor, { id: input.commandId, kind, payload: asJson(input) }, (context) =>
    apply(audited(context, actor)),
  )
}

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
async function levelsIn({ tx, madeAt }: AuditedContext, reservoir: Reservoir, typed: Typed) {
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
  tx: AuditedContext['tx'],
  at: { businessId: string; reservoirId: string; measuredOn: Date },
  emptyAt: number,
): Promise<boolean> {
  return (await tx.reservoirLevel.count({ where: { ...at, correctedBy: null, levelAfter: { lte: emptyAt } } })) > 0
}

/** A device of this tank that is in place, or none at all. */
async function isDeviceOf({ tx, actor }: AuditedContext, equipmentId: string, tankId: string): Promise<boolean> {
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
