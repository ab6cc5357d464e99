import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { findTask, WEAR_QUANTITIES, type Wear, type WearRule, wearOf, wearRuleOf } from '@/lib/trade'
import { type Actor, inBusiness } from '../frame/actor'
import { isoOfDay } from './day-numbers'
import { taskFor } from './due-items'
import { readWearPaths, type WearPath } from './wear-paths'

/** The wear of one device by one measured path. */
export type WearOfDevice = Wear & {
  equipmentId: string
  slotId: string
  failureMode: string
  quantityName: string
  unit: string
  rule: { says: string; source: string }
}

/** "3 Mar 2027": a stored sentence must read the same on whatever day it is opened. */
const DAY = new Intl.DateTimeFormat('en-GB', { timeZone: 'UTC', day: 'numeric', month: 'short', year: 'numeric' })
const formatDay = (day: number) => DAY.format(new Date(isoOfDay(day)))

function wearOfPath(path: WearPath, rule: WearRule): WearOfDevice {
  const { equipmentId, slotId, failureMode, readings, sinceDay } = path
  const { name, unit } = WEAR_QUANTITIES[rule.quantity]
  return {
    ...wearOf(readings, rule, { sinceDay, formatDay }),
    ...{ equipmentId, slotId, failureMode, quantityName: name, unit },
    rule: { says: rule.says, source: rule.source },
  }
}

function wearOfPaths(paths: readonly WearPath[]): WearOfDevice[] {
  return paths.flatMap((path) => {
    const rule = wearRuleOf(path.failureMode)
    return rule ? [wearOfPath(path, rule)] : []
  })
}

/** What wears at a tank: of each device and mode with a measured path its threshold, the day it is crossed, and words. */
export async function wearOfTankIn(tx: Transaction, businessId: string, tankId: string): Promise<WearOfDevice[]> {
  return wearOfPaths(await readWearPaths(tx, businessId, { inPlaceAt: tankId }))
}

export type WearDue = { day: number; lowerDay: number; upperDay: number | null; words: string }

/**
 * For the computation of due days: of these devices, by `equipmentId mode`, the day on which a measured path crosses its
 * threshold (the median; the band holds it 8 times in 10), with words without a full stop. Only paths with a date, or that
 * have crossed. Depends on nothing but the rows. One query.
 */
export async function wearDueDays(
  tx: Transaction,
  businessId: string,
  equipmentIds: readonly string[],
): Promise<Map<string, WearDue>> {
  const worn = wearOfPaths(await readWearPaths(tx, businessId, equipmentIds))
  return new Map(
    worn.flatMap(({ equipmentId, failureMode, thresholdDay, lowerDay, upperDay, words }) =>
      thresholdDay === null || lowerDay === null
        ? []
        : [[`${equipmentId} ${failureMode}`, { day: thresholdDay, lowerDay, upperDay, words }] as const],
    ),
  )
}

/** The measured paths of one device behind one care task, for the page that says why; empty where none was measured. */
export function wearBehindTask(actor: Actor, equipmentId: string, careTask: string): Promise<WearOfDevice[]> {
  return inBusiness(actor, async (tx) => {
    const worn = wearOfPaths(await readWearPaths(tx, actor.businessId, [equipmentId]))
    const renews = findTask(careTask)?.renews
    return worn.filter(({ failureMode, path }) => {
      const isOfTask = renews ? renews.includes(failureMode) : taskFor(failureMode).slug === careTask
      return isOfTask && path.length > 0
    })
  })
}
