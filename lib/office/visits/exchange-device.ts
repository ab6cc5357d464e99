import 'server-only'
import { refused } from '../frame/result'
import { newDeviceId } from '../frame/row-ids'
import type { CommandOf } from './schema'
import { dayColumn, type Refusal, type VisitContext } from './visit-context'

/** Takes the old device out and puts a new one in its place; a mode that was found is what ended the old one's life. */
export async function exchange(context: VisitContext, command: CommandOf<'visit.work'>): Promise<Refusal> {
  const { tx, actor, visit, day } = context
  const { businessId } = actor
  const old = context.devices.get(command.equipmentId)
  if (!old) return null // refused before
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
