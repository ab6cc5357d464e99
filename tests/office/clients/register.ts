import { newId } from '@/lib/new-id'
import { addClient, addSite } from '@/lib/office/clients/commands'
import { type ClientFields, EMPTY_CLIENT, EMPTY_SITE, type SiteFields } from '@/lib/office/clients/schema'
import type { Actor } from '@/lib/office/frame/actor'
import type { Role } from '@/lib/office/frame/role-actions'
import { addTank } from '@/lib/office/tanks/commands'
import { EMPTY_TANK, type EquipmentRow, type TankFields } from '@/lib/office/tanks/schema'
import { inScope } from '@/lib/platform/db/scope'

/** A business with one person who acts for it. */
export async function makeBusiness(name: string, roles: Role[] = ['owner']): Promise<Actor> {
  const businessId = newId()
  const personId = newId()
  await inScope({ role: 'office', businessId, personId }, async (tx) => {
    await tx.business.create({ data: { id: businessId, name } })
    await tx.person.create({ data: { businessId, id: personId, name: 'Robin Vale', isTechnician: true } })
  })
  return { businessId, personId, membershipId: newId(), roles, name: 'Robin Vale' }
}

/** A look at rows as the office of this business. */
export function look<T>(actor: Actor, work: Parameters<typeof inScope<T>>[1]): Promise<T> {
  return inScope({ role: 'office', businessId: actor.businessId, personId: actor.personId }, work)
}

/** The value of a result that must be one; otherwise the refusal in words. */
export function accepted<T>(result: { ok: true; value: T } | { ok: false; reason: string }): T {
  if (!result.ok) throw new Error(JSON.stringify(result))
  return result.value
}

export const fresh = (actor: Actor) => ({ commandId: newId(), businessId: actor.businessId })

export async function makeClient(actor: Actor, fields: Partial<ClientFields> & { name: string }): Promise<string> {
  return accepted(await addClient(actor, { ...fresh(actor), ...EMPTY_CLIENT, ...fields })).clientId
}

export async function makeSite(actor: Actor, clientId: string, fields: Partial<SiteFields> = {}): Promise<string> {
  const input = { ...fresh(actor), ...EMPTY_SITE, name: 'Main building', ...fields, clientId }
  return accepted(await addSite(actor, input)).siteId
}

type TankGiven = Partial<TankFields> & { equipment?: EquipmentRow[] }
export async function makeTank(actor: Actor, siteId: string, fields: TankGiven = {}): Promise<string> {
  const { equipment = [], ...rest } = fields
  const tank = { ...EMPTY_TANK, name: 'Hall', profile: 'reef' as const, volume: '450', takenOverOn: '2026-01-05' }
  return accepted(await addTank(actor, { ...fresh(actor), ...tank, ...rest, siteId, equipment })).tankId
}

/** A visit of a tank for whoever holds it, as the plan or the record would have it. */
export async function makeVisit(actor: Actor, tankId: string, day: string, state: 'booked' | 'done'): Promise<string> {
  return look(actor, async (tx) => {
    const tank = await tx.tank.findUniqueOrThrow({
      where: { businessId_id: { businessId: actor.businessId, id: tankId } },
    })
    const id = newId()
    const { clientId, siteId } = tank
    await tx.visit.create({
      data: {
        businessId: actor.businessId,
        id,
        clientId,
        tankId,
        siteId,
        kind: 'routine',
        state,
        localDate: new Date(`${day}T00:00:00Z`),
        timeZone: 'Europe/London',
      },
    })
    return id
  })
}
