import 'server-only'
import type { CommandContext } from '../frame/command'
import { asDbDate } from '../frame/days'
import { invalid, type Result, refused } from '../frame/result'
import type { PlanReason } from './change-plan'
import { instantOf, plannedRange } from './local-time'
import type { BookVisitInput } from './schema'
import { lockTechnician, overlappingVisits } from './technician-day'

/** When and by whom, as it was typed. */
export type PlanInput = Pick<
  BookVisitInput,
  'date' | 'windowStart' | 'windowEnd' | 'technicianId' | 'plannedStart' | 'plannedMinutes' | 'overlapAccepted'
>

/** The columns of `visit` that say when and by whom. */
export type PlanColumns = {
  localDate: Date
  timeZone: string
  windowStart: string
  windowEnd: string
  technicianId: string | null
  plannedStart: Date | null
  plannedEnd: Date | null
  plannedMinutes: number
  overlapAccepted: boolean
}

/**
 * Checks a plan and makes its columns. The technician's plan stays locked until the transaction ends.
 * Refused: a technician who cannot be planned, an hour that does not exist, and an overlap nobody said yes to.
 */
export async function settlePlan(
  context: CommandContext,
  timeZone: string,
  plan: PlanInput,
  movedVisitId?: string,
): Promise<Result<PlanColumns, PlanReason>> {
  const { tx, actor } = context
  const { date, windowStart, windowEnd, plannedStart, plannedMinutes } = plan
  const technicianId = plan.technicianId === '' ? null : plan.technicianId
  let name = ''
  if (technicianId !== null) {
    const technician = await tx.person.findFirst({
      where: {
        businessId: actor.businessId,
        id: technicianId,
        isTechnician: true,
        archivedAt: null,
        mergedIntoId: null,
      },
      select: { name: true },
    })
    if (!technician) return invalid({ technicianId: ['This person cannot be planned any more. Choose another.'] })
    name = technician.name
  }
  for (const [field, time] of Object.entries({ windowStart, windowEnd })) {
    const hour = time === '' ? null : instantOf({ date, time, timeZone })
    if (hour && !hour.ok) return invalid({ [field]: [hour.words] })
  }
  const planned = plannedStart === '' ? null : plannedRange({ date, time: plannedStart, timeZone }, plannedMinutes)
  if (planned && !planned.ok) return invalid({ plannedStart: [planned.words] })
  const range = planned?.range ?? null
  let overlaps = false
  if (technicianId !== null && range) {
    await lockTechnician(tx, actor.businessId, technicianId)
    const others = await overlappingVisits(tx, actor.businessId, technicianId, range, movedVisitId)
    overlaps = others.length > 0
    if (overlaps && !plan.overlapAccepted)
      return refused(
        'overlap',
        `${name} is already booked then: ${others.map((other) => other.words).join('; ')}. Choose another time, or say yes to the overlap.`,
      )
  }
  return {
    ok: true,
    value: {
      localDate: asDbDate(date),
      timeZone,
      windowStart,
      windowEnd,
      technicianId,
      plannedStart: range?.start ?? null,
      plannedEnd: range?.end ?? null,
      plannedMinutes,
      // A yes that was not needed is not kept: the database goes on guarding this visit.
      overlapAccepted: overlaps,
    },
  }
}
