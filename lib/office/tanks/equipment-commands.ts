import 'server-only'
import { findClass, modesOf } from '@/lib/trade/catalogue'
import { notThere } from '../clients/register-command'
import { todayOf } from '../frame/business-day'
import { type CommandContext, defineCommand } from '../frame/command'
import { asDay, asDbDate } from '../frame/days'
import { done, invalid, refused } from '../frame/result'
import { recomputeDue } from '../lanes/commands'
import { deviceColumns, installedDay, inTheFuture } from './device-columns'
import { addEquipmentSchema, editEquipmentSchema, replaceEquipmentSchema, retireEquipmentSchema } from './schema'

/** Adds a device, in an empty slot or in one of its own. The device's id is the command's, and so is a new slot's. */
export const addEquipment = defineCommand(
  { kind: 'equipment.add', may: 'register.change', schema: addEquipmentSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const { businessId } = actor
    const { tankId, equipmentClass } = input
    const today = await todayOf(context)
    if (findClass(equipmentClass) === null)
      return invalid({ equipmentClass: ['Choose the kind of equipment from the list.'] })
    const future = inTheFuture({ installedOn: installedDay(input) }, today)
    if (future) return future
    const tank = await tx.tank.findFirst({ where: { businessId, id: tankId, mergedIntoId: null } })
    if (!tank) return notThere('tank')
    const slotId = input.slotId === '' ? commandId : input.slotId
    if (input.slotId === '') {
      await tx.slot.create({ data: { businessId, id: slotId, tankId, equipmentClass, label: input.label } })
    } else {
      // Written to, so that two people cannot fill one slot at the same time.
      const { count } = await tx.slot.updateMany({
        where: { businessId, id: slotId, tankId, equipmentClass },
        data: { archivedAt: null },
      })
      if (count === 0) return refused('does-not-fit', 'This place is for another kind of equipment, or is gone.')
      const inPlace = await tx.equipment.findFirst({ where: { businessId, slotId, removedOn: null } })
      if (inPlace) return refused('in-use', `${inPlace.label} is in this place. Replace it instead.`)
    }
    const device = await tx.equipment.create({
      data: { businessId, id: commandId, tankId, slotId, equipmentClass, ...deviceColumns(input, today) },
    })
    await recomputeDue(tx, businessId, [commandId])
    await audit('equipment', commandId, 'add', undefined, device)
    return done({ equipmentId: commandId, tankId })
  },
)

/** Corrects what is written about a device: its name, its age, its note. */
export const editEquipment = defineCommand(
  { kind: 'equipment.edit', may: 'register.change', schema: editEquipmentSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const { businessId } = actor
    const before = await tx.equipment.findFirst({ where: { businessId, id: input.equipmentId } })
    if (!before) return notThere('device')
    const today = await todayOf(context)
    const future = inTheFuture({ installedOn: installedDay(input) }, today)
    if (future) return future
    if (before.removedOn && installedDay(input) > asDay(before.removedOn))
      return invalid({ installedOn: [`It was taken out on ${asDay(before.removedOn)}.`] })
    const { firstSeenOn, ...columns } = deviceColumns(input, asDay(before.firstSeenOn) ?? today)
    const seen = before.firstSeenOn === null ? { firstSeenOn } : {}
    const where = { businessId_id: { businessId, id: before.id } }
    const after = await tx.equipment.update({ where, data: { ...columns, ...seen } })
    await recomputeDue(tx, businessId, [before.id])
    await audit('equipment', before.id, 'edit', before, after)
    return done({ equipmentId: before.id, tankId: before.tankId })
  },
)

/** Puts another device in the place of one: the old one is taken out, the new one (the command's id) replaces it. */
export const replaceEquipment = defineCommand(
  { kind: 'equipment.replace', may: 'register.change', schema: replaceEquipmentSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const { businessId } = actor
    const old = await takeOut(context, input)
    if (!old.ok) return old
    const { tankId, slotId, equipmentClass } = old.value
    const isNew = input.isNew === 'yes'
    const device = await tx.equipment.create({
      data: {
        businessId,
        id: commandId,
        tankId,
        slotId,
        equipmentClass,
        replacesId: old.value.id,
        ...deviceColumns(
          { ...input, installed: isNew ? 'on' : 'unknown', installedOn: input.on, confirmedNew: isNew },
          input.on,
        ),
      },
    })
    await recomputeDue(tx, businessId, [old.value.id, commandId])
    await audit('equipment', commandId, 'replace', old.value, device)
    return done({ equipmentId: commandId, tankId })
  },
)

/** Takes a device out for good; its place goes with it unless it is kept for another. */
export const retireEquipment = defineCommand(
  { kind: 'equipment.retire', may: 'register.change', schema: retireEquipmentSchema },
  async (context, input) => {
    const { tx, actor, madeAt, audit } = context
    const old = await takeOut(context, input)
    if (!old.ok) return old
    const { id, tankId, slotId } = old.value
    if (!input.keepSlot)
      await tx.slot.updateMany({ where: { businessId: actor.businessId, id: slotId }, data: { archivedAt: madeAt } })
    await recomputeDue(tx, actor.businessId, [id])
    await audit('equipment', id, 'retire', old.value, { removedOn: input.on, becauseMode: input.becauseMode })
    return done({ equipmentId: id, tankId })
  },
)

type Removal = { equipmentId: string; on: string; becauseMode: string }

/** Sets the day of removal, once: of two people who take the same device out at the same time one is told so. */
async function takeOut(context: CommandContext, { equipmentId, on, becauseMode }: Removal) {
  const { tx, actor } = context
  const future = inTheFuture({ on }, await todayOf(context))
  if (future) return future
  const before = await tx.equipment.findFirst({ where: { businessId: actor.businessId, id: equipmentId } })
  if (!before) return notThere('device')
  const since = asDay(before.installedOn)
  if (since !== null && on < since) return invalid({ on: [`It was put in on ${since}.`] })
  const known = becauseMode === '' || modesOf(before.equipmentClass).some((mode) => mode.slug === becauseMode)
  if (!known && !(await isOwnMode(context, becauseMode)))
    return invalid({ becauseMode: ['Choose what ended its life from the list.'] })
  const { count } = await tx.equipment.updateMany({
    where: { businessId: actor.businessId, id: equipmentId, removedOn: null },
    data: { removedOn: asDbDate(on), removedBecauseMode: becauseMode === '' ? null : becauseMode },
  })
  if (count === 0) return refused('already-so', `${before.label} was already taken out. Reload the page.`)
  return done(before)
}

/** A mode the business has of its own, from its overlay over the catalogue. */
async function isOwnMode({ tx, actor }: CommandContext, slug: string): Promise<boolean> {
  const own = await tx.catalogueOverlay.findFirst({ where: { businessId: actor.businessId, kind: 'mode', slug } })
  return own !== null
}
