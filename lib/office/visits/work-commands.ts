import 'server-only'
import { findTask } from '@/lib/trade'
import { done, refused } from '../frame/result'
import { newDeviceId, renewalRowId } from '../frame/row-ids'
import { recordLooks } from './look-commands'
import { exchangesDevice, renewedDevice } from './looking'
import type { CommandOf } from './schema'
import { settleUse } from './settle-use'
import { type Applied, dayColumn, type OpenDevice, type VisitContext, visitColumns, writeEvent } from './visit-context'

/** A care task: its own looks first, then a renewal for each mode. A part of a task is kept, and renews nothing. */
export async function recordWork(context: VisitContext, command: CommandOf<'visit.work'>): Promise<Applied> {
  const device = context.devices.get(command.equipmentId)
  if (!device) return refused('does-not-fit', 'This device does not belong to the tank of this visit. Reload the page.')
  const task = findTask(command.task)
  if (task?.equipmentClass !== device.equipmentClass)
    return refused('does-not-fit', `There is no such work on ${device.label}.`)
  const named = new Set(command.renewals.map(({ mode }) => mode))
  if (named.size !== task.renews.length || task.renews.some((mode) => !named.has(mode)))
    return refused('does-not-fit', `“${task.name}” starts other things anew than were named. Reload the page.`)
  const looked = await recordLooks(context, command.looks)
  if (!looked.ok) return looked
  if (exchangesDevice(command)) {
    const refusal = await exchange(context, command, device)
    if (refusal) return refusal
  }
  const { equipmentId } = renewedDevice(command)
  const { businessId, tankId, visitId, commandId } = visitColumns(context)
  await context.tx.renewal.createMany({
    data: command.renewals.map(({ mode, reason }) => ({
      ...{ businessId, tankId, visitId, commandId, equipmentId, reason },
      id: renewalRowId(command.id, mode),
      slotId: device.slotId,
      failureMode: mode,
      careTask: command.task,
      isPartial: command.partial,
      renewedOn: dayColumn(context.day),
      madeAt: context.madeAt,
      deviceSeq: context.deviceSeq,
    })),
  })
  await writeEvent(context, 'work', {
    equipmentId: command.equipmentId,
    task: command.task,
    partial: command.partial,
  })
  const pairs = [command.equipmentId, equipmentId].flatMap((id) =>
    task.renews.map((mode) => ({ equipmentId: id, mode })),
  )
  return done({ touched: [...looked.value.touched, ...pairs] })
}

/** Takes the old device out and puts a new one in its place; a mode that was found is what ended the old one's life. */
async function exchange(context: VisitContext, command: CommandOf<'visit.work'>, old: OpenDevice) {
  const { tx, actor, visit, day } = context
  const { businessId } = actor
  const because = command.renewals.find(({ reason }) => reason === 'found' || reason === 'condition')?.mode ?? null
  const { count } = await tx.equipment.updateMany({
    where: { businessId, id: old.id, removedOn: null },
    data: { removedOn: dayColumn(day), removedBecauseMode: because },
  })
  if (count === 0) return refused('does-not-fit', `${old.label} was already taken out. Reload the page.`)
  const id = newDeviceId(command.id)
  const { slotId, equipmentClass, label } = old
  await tx.equipment.create({
    data: {
      ...{ businessId, id, tankId: visit.tankId, slotId, equipmentClass, label },
      installedOn: dayColumn(day),
      installedConfirmedNew: true,
      firstSeenOn: dayColumn(day),
      replacesId: old.id,
    },
  })
  await context.audit('equipment', id, 'replace', undefined, { replaces: old.id, removedBecauseMode: because })
  return null
}

/** Kinds of device that went off or came on again. */
export async function recordSwitching(
  context: VisitContext,
  command: CommandOf<'visit.switch-off'> | CommandOf<'visit.switch-on'>,
): Promise<Applied> {
  const { deviceId, deviceSeq, devices } = command
  const kind = command.kind === 'visit.switch-off' ? 'switched-off' : 'switched-on'
  await writeEvent(context, kind, { devices, deviceId, deviceSeq })
  return done({ touched: [] })
}

/** A part off the van. */
export async function recordPart(context: VisitContext, command: CommandOf<'visit.use-part'>): Promise<Applied> {
  const { tx, actor, day } = context
  const { id, priceItemId, partId = null, description, quantity, billable } = command
  if (
    priceItemId !== null &&
    !(await tx.priceItem.findFirst({ where: { businessId: actor.businessId, id: priceItemId } }))
  )
    return refused('does-not-fit', 'This part is not in the price list. Reload the page, or write it in words.')
  if (partId !== null && !(await tx.part.findFirst({ where: { businessId: actor.businessId, id: partId } })))
    return refused('does-not-fit', 'This part is not in the list of parts. Reload the page, or write it in words.')
  const said = { priceItemId, partId, description, quantity, billable, usedOn: dayColumn(day) }
  await tx.partUsed.create({ data: { ...visitColumns(context), id, ...said } })
  await settleUse(context, [], { id, partId, quantity, usedOn: day })
  return done({ touched: [] })
}
