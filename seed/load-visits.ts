import { bookVisit } from '@/lib/office/booking/commands'
import type { Actor } from '@/lib/office/frame/actor'
import { importRecords } from '@/lib/office/old-records/commands'
import { applyVisitCommands } from '@/lib/office/visits/commands'
import { clockOf } from './calendar'
import { demoId } from './demo-ids'
import { applied, fewAtATime } from './expect'
import { oldVisitsFile } from './old-records'
import type { DemoPlan } from './plan'
import type { DemoVisit } from './plan-visits'
import { scriptOf, type TankMemory } from './visit-script'

type Team = { owner: Actor; technicians: readonly Actor[] }

/** The years before: what the business brought from its old sheet. */
export async function loadOldRecords(owner: Actor, plan: DemoPlan): Promise<void> {
  const { businessId } = owner
  const old = plan.stories.flat().filter(({ visit }) => visit.isOld)
  old.sort(
    (a, b) => a.visit.startsAt.getTime() - b.visit.startsAt.getTime() || a.visit.tank.number - b.visit.tank.number,
  )
  const commandId = demoId(plan.calendar.now.getTime(), 'old records')
  const input = { commandId, businessId, files: [oldVisitsFile(plan.register, old)], options: {}, mapping: {} }
  applied('bring the old records', await importRecords(owner, input))
}

/** This week and the next two, as the owner planned them. */
export async function loadBookings({ owner, technicians }: Team, plan: DemoPlan, signal?: AbortSignal): Promise<void> {
  const booked = plan.visits.filter(({ isBooked }) => isBooked)
  await fewAtATime(booked, (visit) => book(owner, technicians, visit), signal)
}

async function book(owner: Actor, technicians: readonly Actor[], visit: DemoVisit): Promise<void> {
  const start = visit.startMinute
  const input = {
    commandId: visit.id,
    businessId: owner.businessId,
    tankId: visit.tank.id,
    kind: visit.kind,
    whatFor: '',
    date: visit.day,
    windowStart: clockOf(start - 30),
    windowEnd: clockOf(start + 60),
    technicianId: technicians[visit.technician]?.personId ?? '',
    plannedStart: clockOf(start),
    plannedMinutes: visit.minutes,
    overlapAccepted: false,
  }
  applied(`book ${visit.tank.name} on ${visit.day}`, await bookVisit(owner, input))
}

/** The newest weeks, as the phones sent them. What follows from the lanes is made once, at the end of the loading. */
export async function loadVisits(
  { owner, technicians }: Team,
  plan: DemoPlan,
  { priceIds, partIds }: { priceIds: ReadonlyMap<string, string>; partIds: ReadonlyMap<string, string> },
  signal?: AbortSignal,
): Promise<void> {
  const { now, today } = plan.calendar
  const { businessId } = owner
  const needs = { businessId, timeMs: now.getTime(), today, priceIds, partIds }
  await fewAtATime(
    plan.stories,
    async (stories) => {
      const memory: TankMemory = { devices: new Map(), promised: [] }
      for (const story of stories) {
        const { visit } = story
        if (visit.isOld || visit.startsAt > now) continue
        const technician = technicians[visit.technician] ?? owner
        signal?.throwIfAborted()
        const commands = [...scriptOf(story, memory, { ...needs, isRead: visit.tank.client < 2 })]
        const results = await applyVisitCommands(technician, commands, { derive: 'later' })
        for (const [place, result] of results.entries())
          applied(`say ${commands[place]?.kind} at ${visit.tank.name} on ${visit.day}`, result)
      }
    },
    signal,
  )
}
