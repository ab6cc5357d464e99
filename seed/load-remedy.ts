import { recordRemedy } from '@/lib/office/faults/commands'
import type { Actor } from '@/lib/office/frame/actor'
import { demoId } from './demo-ids'
import { applied } from './expect'
import type { DemoPlan } from './plan'
import { firstVisitSince } from './plan-lots'
import { PLANTED_MODE, REMEDIED } from './truth'

/** What was decided against one of the planted faults; after the estimates, for only a fault in the list can have a remedy. */
export async function loadRemedy(owner: Actor, { visits, calendar }: DemoPlan): Promise<void> {
  const own = visits.filter(({ tank }) => tank.isPlanted && tank.number === REMEDIED.tankNumber)
  const visit = firstVisitSince(own, REMEDIED.week)
  if (!visit) return
  const commandId = demoId(calendar.now.getTime() - 600_000, `remedy ${REMEDIED.tankNumber}`)
  const [equipmentClass = ''] = PLANTED_MODE.split('/')
  const about = { tankId: visit.tank.id, equipmentClass, failureMode: PLANTED_MODE }
  const decided = { remedy: REMEDIED.words, effectiveOn: visit.day }
  applied(
    'record the remedy',
    await recordRemedy(owner, { commandId, businessId: owner.businessId, ...about, ...decided }),
  )
}
