import { moveVisit } from '@/lib/office/booking/commands'
import type { Actor } from '@/lib/office/frame/actor'
import { addReservoir } from '@/lib/office/refills/commands'
import { addEquipment } from '@/lib/office/tanks/commands'
import { applyVisitCommand } from '@/lib/office/visits/commands'
import type { VisitCommandInput } from '@/lib/office/visits/schema'
import { inScope } from '@/lib/platform/db/scope'
import { demoId } from './demo-ids'
import { applied, fewAtATime } from './expect'
import type { DemoPlan } from './plan'
import { type DemoContainer, planContainers } from './plan-containers'
import type { DemoVisit } from './plan-visits'
import { planWear, purifierOf } from './plan-wear'

/** Containers with their levels, devices with their figures, and the visit that was moved. */
export async function loadRefills(
  owner: Actor,
  technicians: readonly Actor[],
  plan: DemoPlan,
  signal?: AbortSignal,
): Promise<void> {
  const { containers, moved } = planContainers(plan)
  const wear = planWear(plan)
  for (const container of containers) await addContainer(owner, container)
  await addPurifier(owner, plan)
  const told = new Map<DemoVisit, VisitCommandInput[]>()
  const tell = (visit: DemoVisit, key: string, said: { kind: string }) => {
    const madeAt = new Date(visit.startsAt.getTime() + 10 * 60_000)
    const envelope = { id: demoId(madeAt.getTime(), `${visit.id} ${key}`), businessId: owner.businessId, version: 1 }
    const device = { deviceId: 'phone of the demo', deviceSeq: 0, madeAt: madeAt.toISOString() }
    // One of the union's members with its own envelope; the id of the visit is put in once it is known.
    const command = { ...envelope, ...device, visitId: visit.id, ...said } as VisitCommandInput
    told.set(visit, [...(told.get(visit) ?? []), command])
  }
  const levels = containers.flatMap((one) => one.levels.map((level) => ({ reservoirId: one.id, ...level })))
  for (const visit of new Set(levels.map((level) => level.visit))) {
    const own = levels.filter((level) => level.visit === visit)
    const said = own.map(({ reservoirId, before, after }) => ({ reservoirId, levelBefore: before, levelAfter: after }))
    tell(visit, 'levels', { kind: 'visit.levels', ...{ levels: said } })
  }
  for (const { device, quantity, unit, readings } of wear)
    for (const { visit, value, into } of readings) {
      const reading = { equipmentId: device.id, quantity, enteredValue: value, enteredInto: into, enteredUnit: unit }
      tell(visit, `measured ${quantity}`, { kind: 'visit.device-readings', ...{ readings: [reading] } })
    }
  const visitIds = await idsOf(owner, [...told.keys()])
  await fewAtATime(
    [...told],
    async ([visit, commands]) => {
      const visitId = visitIds.get(`${visit.tank.id} ${visit.day}`)
      if (!visitId) throw new Error(`the demo has no visit to ${visit.tank.name} on ${visit.day}`)
      for (const command of commands) {
        const technician = technicians[visit.technician] ?? owner
        applied('tell a level', await applyVisitCommand(technician, { ...command, visitId }, { derive: 'later' }))
      }
    },
    signal,
  )
  if (moved) await move(owner, technicians, plan, moved)
}

async function addContainer(owner: Actor, { tank, levels: _, deviceId, id, ...fields }: DemoContainer): Promise<void> {
  const input = { commandId: id, businessId: owner.businessId, tankId: tank.id, ...fields }
  const typed = { capacity: String(fields.capacity), emptyAt: String(fields.emptyAt), filledBy: 'technician' as const }
  applied(`set up ${fields.label}`, await addReservoir(owner, { ...input, ...typed, equipmentId: deviceId }))
}

async function addPurifier(owner: Actor, plan: DemoPlan): Promise<void> {
  const place = purifierOf(plan)
  if (!place) return
  const { id, equipmentClass, label } = place.device
  const input = {
    commandId: id,
    businessId: owner.businessId,
    tankId: place.tank.id,
    slotId: '',
    equipmentClass,
    label,
  }
  const age = { installed: 'unknown' as const, installedOn: '', confirmedNew: false, note: '' }
  applied('add the purifier', await addEquipment(owner, { ...input, ...age }))
}

/** Visits by their tank and day: those of the old records got their ids from the import. */
async function idsOf(owner: Actor, visits: readonly DemoVisit[]): Promise<Map<string, string>> {
  const { businessId, personId } = owner
  const rows = await inScope({ role: 'office', businessId, personId }, (tx) =>
    tx.visit.findMany({
      where: { businessId, state: 'done', tankId: { in: [...new Set(visits.map(({ tank }) => tank.id))] } },
      select: { id: true, tankId: true, localDate: true },
    }),
  )
  return new Map(rows.map(({ id, tankId, localDate }) => [`${tankId} ${localDate.toISOString().slice(0, 10)}`, id]))
}

async function move(
  owner: Actor,
  technicians: readonly Actor[],
  plan: DemoPlan,
  { visit, date }: { visit: DemoVisit; date: string },
): Promise<void> {
  const input = { commandId: demoId(plan.calendar.now.getTime(), 'moved'), businessId: owner.businessId, date }
  const who = { visitId: visit.id, technicianId: technicians[visit.technician]?.personId ?? '' }
  const when = {
    windowStart: '',
    windowEnd: '',
    plannedStart: '',
    plannedMinutes: visit.minutes,
    overlapAccepted: false,
  }
  applied('move a visit', await moveVisit(owner, { ...input, ...who, ...when }))
}
