import { dayIn } from '@/lib/office/frame/days'
import { findLotShifts, type LotShift, type LotUse, QUANTITIES, type Quantity, type ReadingSeries } from '@/lib/trade'
import { dayNumber } from '@/seed/calendar'
import type { DemoPlan } from '@/seed/plan'
import { planLots } from '@/seed/plan-lots'

/** What the route would say of the planned lots, from the plan's own readings, without a database. Lots are called by their label. */
export function lotShiftsOfPlan(plan: DemoPlan): LotShift[] {
  const { register, visits, calendar } = plan
  const planned = planLots(register.tanks, visits, calendar)
  const lots = planned.map(({ label, kind, uses }): LotUse => {
    const tanks = uses.map(({ tank, day }) => {
      const later = planned
        .filter((other) => other.kind === kind && other.label !== label)
        .flatMap((other) => other.uses.filter((use) => use.tank === tank && use.day > day).map((use) => use.day))
        .toSorted()
      const until = later[0]
      return { tank: tank.id, firstUsedDay: dayNumber(day), ...(until ? { untilDay: dayNumber(until) } : {}) }
    })
    return { lot: label, kind, tanks }
  })
  const today = dayIn(calendar.timeZone, calendar.now)
  const series = register.tanks.flatMap((tank) => {
    const seen = (plan.stories[tank.number] ?? []).filter(({ visit }) => visit.day < today)
    return (Object.keys(QUANTITIES) as Quantity[]).flatMap((quantity): ReadingSeries[] => {
      const values = seen.flatMap(({ visit, readings }) =>
        readings
          .filter((reading) => reading.quantity === quantity)
          .map((reading) => ({ day: visit.dayNumber, value: Number(reading.value) })),
      )
      return values.length === 0 ? [] : [{ tank: tank.id, quantity, values }]
    })
  })
  return findLotShifts(lots, series)
}
