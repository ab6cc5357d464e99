import type { Actor } from '@/lib/office/frame/actor'
import { setClientCost } from '@/lib/office/intervals/commands'
import { demoId } from './demo-ids'
import { CLIENTS_WITH_COSTS } from './drivers'
import { applied } from './expect'
import type { Register } from './plan-register'

/** What a failure costs at clients of whom the owner has said so: the others are left open, as in life. */
export async function loadClientCosts(owner: Actor, nowMs: number, { clients }: Register): Promise<void> {
  const { businessId } = owner
  for (const [place, { id: clientId, name }] of clients.entries()) {
    if (place % CLIENTS_WITH_COSTS.oneIn !== 0) continue
    const { travel, goodwill, animalsPerDay } = CLIENTS_WITH_COSTS
    const commandId = demoId(nowMs, `costs of client ${place}`)
    applied(
      `state what a failure costs at ${name}`,
      await setClientCost(owner, { commandId, businessId, clientId, travel, goodwill, animalsPerDay }),
    )
  }
}
