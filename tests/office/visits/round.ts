import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { asDbDate } from '@/lib/office/frame/days'
import type { VisitCommandInput } from '@/lib/office/visits/schema'
import { inScope } from '@/lib/platform/db/scope'
import { testDatabase } from '../../setup/database'

/** An invented business with one reef tank, its devices and a booked visit. */
export type Round = Awaited<ReturnType<typeof makeRound>>

export const VISIT_DAY = '2026-11-26'

export async function makeRound() {
  await testDatabase()
  const businessId = newId()
  const personId = newId()
  const clientId = newId()
  const otherClientId = newId()
  const siteId = newId()
  const tankId = newId()
  const scope = { role: 'office', businessId, personId } as const
  const devices = {
    skimmer: { id: newId(), equipmentClass: 'protein-skimmer' },
    returnPump: { id: newId(), equipmentClass: 'return-pump' },
    heater: { id: newId(), equipmentClass: 'heater' },
  }
  const otherTankDevice = newId()
  const otherTankId = newId()
  await inScope(scope, async (tx) => {
    await tx.business.create({ data: { id: businessId, name: 'Harbour Lane Aquarium Care' } })
    await tx.person.create({ data: { businessId, id: personId, name: 'Priya', isTechnician: true } })
    for (const [id, name] of [
      [clientId, 'Port Ellery School'],
      [otherClientId, 'Kelp Quay Noodle Bar'],
    ] as const)
      await tx.client.create({ data: { businessId, id, name } })
    await tx.site.create({ data: { businessId, id: siteId, clientId, name: 'Hall' } })
    for (const id of [tankId, otherTankId]) {
      const tank = { businessId, id, clientId, siteId, name: 'Hall', profile: 'reef', volumeL: '450' }
      await tx.tank.create({ data: tank })
      await tx.tankClient.create({ data: { businessId, id, clientId, tankId: id, since: asDbDate('2025-01-01') } })
    }
    const all = [
      ...Object.values(devices).map((device) => ({ ...device, tankId })),
      { id: otherTankDevice, equipmentClass: 'heater', tankId: otherTankId },
    ]
    for (const { id, equipmentClass, tankId: at } of all) {
      const place = { businessId, tankId: at, equipmentClass, label: equipmentClass }
      await tx.slot.create({ data: { ...place, id } })
      await tx.equipment.create({ data: { ...place, id, slotId: id } })
    }
  })
  const actor: Actor = { businessId, personId, membershipId: newId(), roles: ['technician'], name: 'Priya' }
  const ids = { businessId, personId, clientId, otherClientId, siteId, tankId, otherTankDevice }
  return { ...ids, actor, scope, devices }
}

/** A visit that is planned for the day, not yet begun. */
export async function bookVisit({ scope, businessId, clientId, tankId, siteId, personId }: Round): Promise<string> {
  const id = newId()
  await inScope(scope, (tx) =>
    tx.visit.create({
      data: {
        ...{ businessId, id, clientId, tankId, siteId, technicianId: personId, kind: 'routine', state: 'booked' },
        localDate: asDbDate(VISIT_DAY),
        timeZone: 'Europe/London',
      },
    }),
  )
  return id
}

type Said = VisitCommandInput extends infer Command
  ? Command extends VisitCommandInput
    ? Omit<Command, 'id' | 'businessId' | 'visitId' | 'version' | 'madeAt' | 'deviceId' | 'deviceSeq'>
    : never
  : never

/** A phone that numbers what is said on it, one minute apart. */
export function makePhone(round: { businessId: string }, visitId: string, deviceId = 'phone-a', start = '09:20') {
  let deviceSeq = 0
  const first = Date.parse(`${VISIT_DAY}T${start}:00Z`)
  return (said: Said, over: Partial<VisitCommandInput> = {}): VisitCommandInput => {
    deviceSeq += 1
    const madeAt = new Date(first + deviceSeq * 60_000).toISOString()
    const envelope = { id: newId(), businessId: round.businessId, visitId, version: 1, madeAt, deviceId, deviceSeq }
    // One of the union's members with its own envelope: the compiler cannot join the two halves by itself.
    return { ...envelope, ...said, ...over } as VisitCommandInput
  }
}

export const look = (
  equipmentId: string,
  mode: string,
  asFound: 'ok' | 'needs_it' | 'failed' | 'not_looked' = 'ok',
  depth: 'running' | 'opened' | 'measured' = 'opened',
) => ({ equipmentId, mode, asFound, depth })
