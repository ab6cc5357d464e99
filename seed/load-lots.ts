import type { Actor } from '@/lib/office/frame/actor'
import { addLot, editLot, tickLot } from '@/lib/office/lots/commands'
import { demoId } from './demo-ids'
import { applied } from './expect'
import type { DemoPlan } from './plan'
import { type DemoLot, planLots } from './plan-lots'

/** The lots with the tanks they went into, as ticked at the desk on each day. */
export async function loadLots(owner: Actor, { register, visits, calendar }: DemoPlan): Promise<void> {
  for (const lot of planLots(register.tanks, visits, calendar)) await loadLot(owner, lot)
}

async function loadLot(owner: Actor, { id, kind, label, receivedOn, usedUpOn, uses }: DemoLot): Promise<void> {
  const { businessId } = owner
  const atMs = Date.parse(`${receivedOn}T08:00:00Z`)
  applied(`add lot ${label}`, await addLot(owner, { commandId: id, businessId, kind, label, receivedOn, note: '' }))
  for (const usedOn of new Set(uses.map((use) => use.day))) {
    const there = uses.filter((use) => use.day === usedOn)
    const commandId = demoId(atMs, `tick ${label} ${usedOn}`)
    const tankIds = there.map(({ tank }) => tank.id)
    applied(`tick lot ${label}`, await tickLot(owner, { commandId, businessId, lotId: id, usedOn, tankIds }))
  }
  if (usedUpOn === '') return
  const commandId = demoId(atMs, `used up ${label}`)
  const fields = { label, receivedOn, usedUpOn, note: '' }
  applied(`use up lot ${label}`, await editLot(owner, { commandId, businessId, lotId: id, ...fields }))
}
