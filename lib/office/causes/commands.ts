import 'server-only'
import { findFamily, findMode, findTask } from '@/lib/trade'
import { type Actor, inBusiness } from '../frame/actor'
import { type Result, refused } from '../frame/result'
import { rowId } from '../frame/row-ids'
import { applyWholeOfVisit, type VisitReason } from '../visits/commands'
import { renewalsFor } from '../visits/looking'
import type { Look, VisitCommandInput } from '../visits/schema'
import { learntFrom, readiedIn } from './projection'
import { deviceOfCause } from './queries'
import type { FoundCause } from './schema'

/**
 * Writes the end of a search down, each thing once: what stood still for it, the cause as a case, how the device was found and what was done to it, and
 * what was promised where it stays open. Sent again it changes nothing.
 */
export async function writeFoundCause(
  actor: Actor,
  found: FoundCause,
): Promise<Result<{ visitId: string }, VisitReason>> {
  const { visitId, sign, cause } = found
  const family = findFamily(sign)
  const of = family?.causes.find(({ slug }) => slug === cause)
  if (!family || !of) return refused('does-not-fit', 'This cause does not belong to that sign. Reload the page.')
  const at = await inBusiness(actor, (tx) =>
    tx.visit.findFirst({
      where: { businessId: actor.businessId, id: visitId },
      select: {
        tank: { select: { equipments: { where: { removedOn: null }, select: { id: true, equipmentClass: true } } } },
      },
    }),
  )
  if (!at) return refused('not-found', 'This visit is not there any more. Go back to the route.')
  const { equipments: devices } = at.tank
  const equipmentId = deviceOfCause(devices, of.mode, found.equipmentId)
  const madeAt = new Date().toISOString()
  const commands: VisitCommandInput[] = []
  /** A part that follows from the form's own id: the same form gives the same entries. */
  const say = (part: string, said: Said) =>
    commands.push({
      ...{
        id: part === '' ? found.commandId : rowId(found.commandId, part),
        businessId: found.businessId,
        visitId,
        version: 1,
      },
      ...{ madeAt, deviceId: `web-${actor.personId}`, deviceSeq: commands.length },
      ...said,
    } as VisitCommandInput) // one of the union's members with its envelope: the compiler cannot join the halves
  const readied = new Set(readiedIn(found.moves))
  const present = new Set(devices.map((device) => device.equipmentClass))
  const off = [
    ...new Set(family.setUps.filter(({ slug }) => readied.has(slug)).flatMap(({ switchesOff }) => switchesOff)),
  ].filter((slug) => present.has(slug))
  if (off.length > 0) say('off', { kind: 'visit.switch-off', devices: off })
  say('', {
    ...{ kind: 'visit.find-cause', sign, cause, ...learntFrom(found.moves) },
    equipmentId: equipmentId ?? (found.equipmentId || null),
  })
  if (equipmentId && of.mode) {
    if (!found.asFound) return { ok: false, reason: 'invalid', fields: { asFound: ['How bad was it? Choose one.'] } }
    if (!found.putRight)
      return { ok: false, reason: 'invalid', fields: { putRight: ['Was it put right? Choose one.'] } }
    const isDone = found.putRight === 'now'
    const look: Look = {
      ...{ equipmentId, mode: of.mode, asFound: found.asFound, depth: findMode(of.mode)?.lookNeeded ?? 'running' },
      ...{ symptom: family.sign, cause: of.name, remedy: isDone ? of.remedy : '', asLeft: found.asLeft },
      cureConfidence: isDone && found.cureConfidence !== '' ? found.cureConfidence : null,
    }
    const task = isDone && of.task ? findTask(of.task) : null
    if (task?.renews.includes(of.mode) && !task.replacesDevice)
      say('work', {
        ...{ kind: 'visit.work', equipmentId, task: task.slug, partial: false, looks: [look] },
        renewals: renewalsFor(task.slug, 'found', [look]),
      })
    else say('look', { kind: 'visit.record-looks', looks: [look] })
  }
  if (found.followUp !== '') {
    if (found.followUpOn === '')
      return { ok: false, reason: 'invalid', fields: { followUpOn: ['By when? Choose a day.'] } }
    say('follow-up', { kind: 'visit.promise', what: found.followUp, dueOn: found.followUpOn })
  }
  return applyWholeOfVisit(actor, commands)
}

type Said = VisitCommandInput extends infer Command
  ? Command extends VisitCommandInput
    ? Omit<Command, 'id' | 'businessId' | 'visitId' | 'version' | 'madeAt' | 'deviceId' | 'deviceSeq'>
    : never
  : never
