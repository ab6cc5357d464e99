/** Deliveries that tanks share: when each was first used where. Pure. */

import { addDays } from '@/lib/office/frame/days'
import type { LotKind } from '@/lib/office/lots/schema'
import type { Calendar } from './calendar'
import { demoId } from './demo-ids'
import type { DemoTank } from './plan-register'
import type { DemoVisit } from './plan-visits'
import { WEAK_SALT } from './truth'

export type DemoLot = {
  id: string
  kind: LotKind
  label: string
  receivedOn: string
  usedUpOn: string
  uses: { tank: DemoTank; day: string }[]
}

/** Whether a reef gets the weak salt; the others get one that is sound. The two tanks whose alkalinity falls for a reason of their own have neither. */
export function isOnWeakSalt({ profile, number, alkalinityFalls }: DemoTank): boolean {
  return profile === 'reef' && !alkalinityFalls && number % 2 === 0
}

/** The first visit of the weekly round since a week (0: this one), or null where none has been yet. */
export function firstVisitSince(visits: readonly DemoVisit[], week: number): DemoVisit | null {
  return visits.find((visit) => visit.kind === 'routine' && visit.week >= week && !visit.isBooked) ?? null
}

/** Three lots of salt (one of them weak), one of reagent, one of food. */
export function planLots(
  tanks: readonly DemoTank[],
  visits: readonly DemoVisit[],
  { now, today, monday }: Calendar,
): DemoLot[] {
  const lot = (
    kind: LotKind,
    label: string,
    week: number,
    usedUpWeek: number | null,
    has: (tank: DemoTank) => boolean,
  ) => ({
    ...{ id: demoId(now.getTime() - 1_800_000, `lot ${label}`), kind, label },
    receivedOn: addDays(monday, week * 7 - 6),
    usedUpOn: usedUpWeek === null ? '' : addDays(monday, usedUpWeek * 7),
    uses: tanks.filter(has).flatMap((tank) => {
      const first = firstVisitSince(
        visits.filter((visit) => visit.tank === tank),
        week,
      )
      return first && first.day < today ? [{ tank, day: first.day }] : []
    }),
  })
  const isReef = (tank: DemoTank) => tank.profile === 'reef'
  return [
    lot('salt', 'SL-2403', -34, -5, isReef),
    lot('salt', WEAK_SALT.label, WEAK_SALT.week, null, isOnWeakSalt),
    lot(
      'salt',
      'SL-2411',
      WEAK_SALT.week,
      null,
      (tank) => isReef(tank) && !tank.alkalinityFalls && !isOnWeakSalt(tank),
    ),
    lot('reagent', 'KH-118', -18, null, (tank) => isReef(tank) && tank.technician === 0),
    lot('food', 'PF-77', -16, null, (tank) => !isReef(tank) && tank.technician === 1),
  ]
}
