import 'server-only'
import { findFamily, findTask } from '@/lib/trade'
import { refused } from '../frame/result'
import { isShownByRunning } from './looking'
import type { CommandOf } from './schema'
import { misfit, type Refusal, type VisitContext } from './visit-context'

/** The one tap covers what running shows, and nothing else. */
export function checkAllRunning(context: VisitContext, { pairs }: CommandOf<'visit.all-running'>): Refusal {
  const hidden = pairs.find(({ mode }) => !isShownByRunning(mode))
  if (hidden)
    return refused(
      'does-not-fit',
      'Running does not show everything: what must be opened or measured is answered by itself.',
    )
  return misfit(context, pairs)
}

/** What somebody on site said, of a day that has come. */
export function checkReport(context: VisitContext, command: CommandOf<'visit.record-report'>): Refusal {
  if (command.reportedOn !== null && command.reportedOn > context.day)
    return refused('does-not-fit', 'It cannot have been noticed on a day that is still to come.')
  return misfit(context, [command])
}

/** A cause of the sign's own table, at a device of this tank. */
export function checkCause(
  { devices, record }: VisitContext,
  { id, sign, cause, equipmentId }: CommandOf<'visit.find-cause'>,
): Refusal {
  const twin = record.cases.find((one) => one.id !== id && one.sign === sign && one.cause === cause)
  if (twin && twin.equipmentId === equipmentId)
    return refused(
      'does-not-fit',
      'This is written down at this visit already. See its first page, under “Causes found”.',
    )
  if (!findFamily(sign)?.causes.some(({ slug }) => slug === cause))
    return refused('does-not-fit', 'This cause does not belong to that sign. Reload the page and choose again.')
  if (equipmentId !== null && !devices.has(equipmentId))
    return refused('does-not-fit', 'This device does not belong to the tank of this visit. Reload the page.')
  return null
}

/** A care task is one of the device's, and starts anew all that it renews. */
export function checkWork(context: VisitContext, command: CommandOf<'visit.work'>): Refusal {
  const device = context.devices.get(command.equipmentId)
  if (!device) return refused('does-not-fit', 'This device does not belong to the tank of this visit. Reload the page.')
  const task = findTask(command.task)
  if (task?.equipmentClass !== device.equipmentClass)
    return refused('does-not-fit', `There is no such work on ${device.label}.`)
  const named = new Set(command.renewals.map(({ mode }) => mode))
  if (named.size !== task.renews.length || task.renews.some((mode) => !named.has(mode)))
    return refused('does-not-fit', `“${task.name}” starts other things anew than were named. Reload the page.`)
  return misfit(context, command.looks)
}
