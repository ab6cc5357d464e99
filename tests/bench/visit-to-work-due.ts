import { newId } from '@/lib/new-id'
import { workDue } from '@/lib/office/due/queries'
import { type Actor, inBusiness } from '@/lib/office/frame/actor'
import { recomputeDue } from '@/lib/office/lanes/commands'
import { timed } from './timing'

const DAY_MS = 86_400_000

/**
 * Writes so many visits, each to another tank, as a visit's own command does: the looks, one need with its renewal, then the lanes
 * it touched, in one transaction; then opens Work due. Milliseconds of each.
 * Errors: Error when Work due does not show what the visit changed.
 */
export async function visitsToWorkDue(
  businessId: string,
  visits: number,
): Promise<{ written: number; read: number }[]> {
  const actor: Actor = { businessId, personId: newId(), membershipId: newId(), roles: ['owner'], name: 'Bench' }
  const tanks = await inBusiness(actor, (tx) =>
    tx.tank.findMany({ where: { businessId }, select: { id: true }, orderBy: { id: 'asc' } }),
  )
  const times: { written: number; read: number }[] = []
  for (let i = 0; i < visits; i++) {
    const tankId = tanks[Math.floor(((i + 0.5) * tanks.length) / visits)]?.id ?? ''
    // One month after the records end, each on a day of its own.
    const on = new Date(Date.UTC(2026, 1, 2) + i * DAY_MS)
    const written = await timed(() => writeVisit(actor, tankId, on))
    const read = await timed(() => workDue(actor, { withinDays: 28 }, on))
    await checkShown(actor, tankId, on)
    times.push({ written, read })
  }
  return times
}

async function writeVisit(actor: Actor, tankId: string, on: Date): Promise<void> {
  const { businessId } = actor
  await inBusiness(actor, async (tx) => {
    const lanes = await tx.lane.findMany({ where: { businessId, tankId }, orderBy: { failureMode: 'asc' } })
    const tank = await tx.tank.findUniqueOrThrow({
      where: { businessId_id: { businessId, id: tankId } },
      select: { clientId: true, siteId: true },
    })
    const visitId = newId()
    await tx.visit.create({
      data: {
        ...{ businessId, id: visitId, tankId, ...tank, kind: 'routine', state: 'done', outcome: 'done' },
        ...{ localDate: on, timeZone: 'Europe/London' },
      },
    })
    await tx.finding.createMany({
      data: lanes.map(({ equipmentId, slotId, equipmentClass, failureMode }, index) => ({
        ...{ businessId, id: newId(), clientId: tank.clientId, tankId, visitId, equipmentId, slotId, equipmentClass },
        ...{ failureMode, asFound: index === 0 ? 'needs_it' : 'ok', depth: 'measured', foundOn: on, madeAt: on },
      })),
    })
    await recomputeDue(
      tx,
      businessId,
      lanes.map((lane) => lane.equipmentId),
    )
  })
}

async function checkShown(actor: Actor, tankId: string, on: Date): Promise<void> {
  const { rows } = await workDue(actor, { tankId }, on)
  if (!rows.some((row) => row.reason.rule === 'need-open' && row.dueOn === on.toISOString().slice(0, 10)))
    throw new Error(`the need found at tank ${tankId} does not stand in Work due`)
}
