import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { defaultCosts, type VisitingCosts, visitingCosts } from '@/lib/trade'
import { readClientCosts } from '../lanes/read-choices'
import { readLabourPerMinute } from '../lanes/read-history'

/** Work of an ordinary kind, where the business has stated no costs. Common practice, no source. */
const USUAL_WORK_MINUTES = 15

export type TankCosts = {
  costs: VisitingCosts
  visitMinutes: number
  /** The business stated what a need found and a call-out cost. */
  isStated: boolean
  /** Something was stated for this client. */
  isClientStated: boolean
}

/** What visits, defects and failures cost at these tanks: cost settings for everything, the agreement's minutes, the client's own figures. */
export async function readVisitingCosts(
  tx: Transaction,
  businessId: string,
  tankIds: string[],
  today: Date,
): Promise<(tankId: string) => TankCosts> {
  const stated = await tx.costSetting.findFirst({
    where: { businessId, equipmentClass: '*', failureMode: '*' },
    orderBy: { version: 'desc' },
  })
  const agreements = await tx.agreement.findMany({
    where: {
      businessId,
      tankId: { in: tankIds },
      startsOn: { lte: today },
      OR: [{ endsOn: null }, { endsOn: { gte: today } }],
    },
    orderBy: [{ startsOn: 'asc' }, { id: 'asc' }],
    select: { tankId: true, visitMinutes: true },
  })
  const minutes = new Map(agreements.map(({ tankId, visitMinutes }) => [tankId, visitMinutes]))
  const clientCostOf = await readClientCosts(tx, businessId, tankIds)
  const perMinute = await readLabourPerMinute(tx, businessId)
  const start = defaultCosts({ minutes: USUAL_WORK_MINUTES, announcesItself: false, perMinute })
  return (tankId) => {
    const client = clientCostOf(tankId)
    const visitMinutes = minutes.get(tankId) ?? USUAL_VISIT_MINUTES
    return {
      costs: visitingCosts({
        visitMinutes,
        perMinute,
        found: stated?.foundMinor ?? start.found,
        callOut: stated?.callOutMinor ?? start.callOut,
        client,
      }),
      visitMinutes,
      isStated: stated !== null,
      isClientStated: client !== null,
    }
  }
}

/** Where no agreement says how long a visit takes: the agreement form's own start. */
const USUAL_VISIT_MINUTES = 45
