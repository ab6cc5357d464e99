import 'server-only'
import { newId } from '@/lib/new-id'
import type { Actor } from '../frame/actor'
import { type CommandContext, defineCommand } from '../frame/command'
import { asDbDate } from '../frame/days'
import { done, invalid, refused } from '../frame/result'
import { addLotSchema, editLotSchema, takeBackUseSchema, tickLotSchema } from './schema'

const NO_LOT = refused('not-found', 'This lot is not in the list any more. Reload the page.')

const dateOrNull = (day: string) => (day === '' ? null : asDbDate(day))

const LABEL_TAKEN = invalid({ label: ['There is a lot with this label already.'] })

/** Writes down a lot. Its id is the command's. A second one of the same kind and label in use is refused: it would be the same lot. */
export const addLot = defineCommand(
  { kind: 'lot.add', may: 'parts.change', schema: addLotSchema },
  async (context, input) => {
    const { tx, actor, commandId } = context
    const { businessId } = actor
    const { kind, label, receivedOn, note } = input
    const same = await tx.lot.findFirst({ where: { businessId, kind, label, archivedAt: null } })
    if (same) return LABEL_TAKEN
    const lot = await tx.lot.create({
      data: { businessId, id: commandId, kind, label, receivedOn: dateOrNull(receivedOn), note },
    })
    await context.audit('lot', lot.id, 'add', undefined, lot)
    return done({ lotId: lot.id })
  },
)

/** Changes what is known of a lot; used up, it is no longer offered at visits. */
export const editLot = defineCommand(
  { kind: 'lot.edit', may: 'parts.change', schema: editLotSchema },
  async (context, input) => {
    const { tx, actor } = context
    const { lotId, label, receivedOn, usedUpOn, note } = input
    const where = { businessId_id: { businessId: actor.businessId, id: lotId } }
    const before = await tx.lot.findUnique({ where })
    if (!before) return NO_LOT
    const others = { businessId: actor.businessId, kind: before.kind, label, archivedAt: null, id: { not: lotId } }
    if (await tx.lot.findFirst({ where: others })) return LABEL_TAKEN
    if (receivedOn !== '' && usedUpOn !== '' && usedUpOn < receivedOn)
      return invalid({ usedUpOn: ['It cannot be used up before it came.'] })
    const data = { label, receivedOn: dateOrNull(receivedOn), usedUpOn: dateOrNull(usedUpOn), note }
    const after = await tx.lot.update({ where, data })
    await context.audit('lot', lotId, 'edit', before, after)
    return done({ lotId })
  },
)

/** One lot at several tanks on one day, from the desk. Where it stands for that day already nothing is added. */
export const tickLot = defineCommand(
  { kind: 'lot.use', may: 'parts.change', schema: tickLotSchema },
  async (context, input) => {
    const { tx, actor } = context
    const { businessId } = actor
    const { lotId, usedOn } = input
    const lot = await tx.lot.findUnique({ where: { businessId_id: { businessId, id: lotId } } })
    if (!lot) return NO_LOT
    const today = new Date(context.madeAt.getTime() + 86_400_000)
    if (asDbDate(usedOn) > today) return invalid({ usedOn: ['This day is still to come.'] })
    const tanks = await tx.tank.findMany({
      where: { businessId, id: { in: input.tankIds }, mergedIntoId: null },
      select: { id: true },
    })
    if (tanks.length === 0) return invalid({ tankIds: ['These tanks are not in the register any more.'] })
    const uses = tanks.map(({ id }) => ({ lotId, tankId: id, visitId: null, usedOn: asDbDate(usedOn) }))
    return done({ lotId, added: await addUses(context, actor, uses) })
  },
)

type Use = { lotId: string; tankId: string; visitId: string | null; usedOn: Date }

async function addUses(
  { tx, commandId }: CommandContext,
  { businessId }: Actor,
  uses: readonly Use[],
): Promise<number> {
  const key = ({ lotId, tankId, usedOn }: { lotId: string; tankId: string; usedOn: Date }) =>
    `${lotId} ${tankId} ${usedOn.getTime()}`
  const known = await tx.lotUse.findMany({
    where: {
      businessId,
      lotId: { in: [...new Set(uses.map((use) => use.lotId))] },
      tankId: { in: [...new Set(uses.map((use) => use.tankId))] },
      isTakenBack: false,
      correctedBy: { is: null },
    },
    select: { lotId: true, tankId: true, usedOn: true },
  })
  const there = new Set(known.map(key))
  const fresh = uses.filter((use) => !there.has(key(use)))
  await tx.lotUse.createMany({ data: fresh.map((use) => ({ ...use, businessId, id: newId(), commandId })) })
  return fresh.length
}

/** A tick at the wrong tank: a further row says that it was none. What was ticked stays in the past. */
export const takeBackUse = defineCommand(
  { kind: 'lot.take-back', may: 'parts.change', schema: takeBackUseSchema },
  async ({ tx, actor, commandId }, input) => {
    const { businessId } = actor
    const use = await tx.lotUse.findFirst({ where: { businessId, id: input.useId, correctedBy: { is: null } } })
    if (!use) return refused('not-found', 'This entry is not in the list any more. Reload the page.')
    if (use.isTakenBack) return refused('already-so', 'This was taken back already. Reload the page.')
    const { lotId, tankId, visitId, usedOn } = use
    const row = { businessId, lotId, tankId, visitId, usedOn, commandId }
    await tx.lotUse.create({ data: { ...row, id: commandId, correctsId: use.id, isTakenBack: true } })
    return done({ lotId })
  },
)
