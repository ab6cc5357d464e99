import { findMode, type LaneEvent, type RepeatFault } from '@/lib/trade'
import { dayNumber } from '@/seed/calendar'
import type { DemoPlan } from '@/seed/plan'
import type { Looked } from '@/seed/tank-life'
import { faultsOfMode } from '../trade/old-records/faults-of-mode'
import type { RecordLane } from '../trade/old-records/read-records'

/** What the route would say of repeat faults of one mode, from the plan's own visits before today, without a database. */
export function faultsOfPlan(plan: DemoPlan, modeSlug: string): RepeatFault[] {
  return faultsOfMode(lanesOfPlan(plan, modeSlug), dayNumber(plan.calendar.today))
}

/** A lane for each device that has the mode, as the visits before today would leave it. */
function lanesOfPlan({ register, stories, calendar }: DemoPlan, modeSlug: string): RecordLane[] {
  const mode = findMode(modeSlug)
  if (!mode) throw new Error(`no mode ${modeSlug}`)
  const ofMode = ({ life }: Looked) => life.mode === modeSlug
  return register.tanks.flatMap((tank) =>
    tank.devices.flatMap((device) => {
      const events = (stories[tank.number] ?? []).flatMap(({ visit, looks, jobs, open }): LaneEvent[] => {
        if (visit.day >= calendar.today) return []
        const day = visit.dayNumber
        const renewed = jobs.flatMap((job) => job.looks).filter((look) => ofMode(look) && look.device === device)
        const seen = [...looks, ...open].filter((look) => ofMode(look) && look.device === device)
        return [
          ...[...seen, ...renewed].map(({ isBad, life: { depth } }): LaneEvent => {
            const asFound = isBad ? 'needs_it' : 'ok'
            return { kind: 'look', day, asFound, depth, source: 'visit' }
          }),
          ...renewed.map(({ isBad }): LaneEvent => ({ kind: 'renewal', day, reason: isBad ? 'found' : 'schedule' })),
        ]
      })
      return events.length === 0 ? [] : [{ tank: tank.id, key: modeSlug, mode, events }]
    }),
  )
}
