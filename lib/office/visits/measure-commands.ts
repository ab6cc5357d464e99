import 'server-only'
import { refillKindOf, wearRulesOf } from '@/lib/trade'
import { asDbDate, dayIn } from '../frame/days'
import { refused } from '../frame/result'
import { deviceReadingRowId, levelRowId } from '../frame/row-ids'
import { filledToLess, isEmptied } from '../refills/filled-to-less'
import { newestLevels, type RecordedLevel } from '../refills/newest-levels'
import { enteredWords, storedDeviceReading } from './device-reading'
import type { Pair } from './record'
import type { CommandOf } from './schema'
import { type Refusal, type VisitContext, visitColumns } from './visit-context'

/** What is said after leaving is of the day on which they left. */
function dayOfVisit({ visit, madeAt, day }: VisitContext): string {
  return visit.leftAt !== null && madeAt > visit.leftAt ? dayIn(visit.timeZone, visit.leftAt) : day
}

/**
 * Levels of containers, before and after filling. Each saying is a row of its own; of one container at one visit the newest
 * figure that was given counts, so that the level before can be said first and the level after later.
 */
export async function recordLevels(context: VisitContext, command: CommandOf<'visit.levels'>): Promise<Refusal> {
  const { tx, actor, visit, madeAt, commandId } = context
  const { businessId } = actor
  const ids = command.levels.map(({ reservoirId }) => reservoirId)
  const known = await tx.reservoir.findMany({
    where: { businessId, id: { in: ids }, tank: { OR: [{ id: visit.tankId }, { mergedIntoId: visit.tankId }] } },
    select: { id: true, label: true, unit: true, kind: true, capacity: true, emptyAt: true },
  })
  const earlier = await saidEarlier(context, ids)
  const byId = new Map(known.map((reservoir) => [reservoir.id, reservoir]))
  for (const { reservoirId, levelBefore, levelAfter } of command.levels) {
    const reservoir = byId.get(reservoirId)
    if (!reservoir) return refused('does-not-fit', 'This container is not at the tank of this visit. Reload the page.')
    const most = reservoir.capacity.toNumber()
    const tooMuch = [levelBefore, levelAfter].find((level) => level !== null && level > most)
    if (tooMuch !== undefined && tooMuch !== null) {
      const gas = refillKindOf(reservoir.kind) === 'gas' ? ' with its gas' : ''
      return refused(
        'does-not-fit',
        `${reservoir.label}: ${tooMuch} ${reservoir.unit} is more than the ${most} ${reservoir.unit} it holds full${gas}. Check the figure, or the container on the tank’s page.`,
      )
    }
    const { label, unit } = reservoir
    const container = { label, unit, kind: refillKindOf(reservoir.kind), emptyAt: reservoir.emptyAt.toNumber() }
    const own = earlier.filter((level) => level.reservoirId === reservoirId)
    const [now] = newestLevels([...own, { reservoirId, levelBefore, levelAfter }])
    const less = filledToLess(
      container,
      { before: now?.levelBefore ?? null, after: levelAfter },
      own.some((level) => isEmptied(container, level.levelAfter)),
    )
    if (less !== null) return refused('does-not-fit', less)
  }
  await tx.reservoirLevel.createMany({
    data: command.levels.map(({ reservoirId, levelBefore, levelAfter }) => ({
      ...{
        businessId,
        id: levelRowId(command.id, reservoirId),
        reservoirId,
        visitId: visit.id,
        levelBefore,
        levelAfter,
      },
      ...{ measuredOn: asDbDate(dayOfVisit(context)), madeAt, commandId },
    })),
  })
  return null
}

/** What was said of these containers at this visit before this was, in the order in which it was said. */
async function saidEarlier(context: VisitContext, ids: string[]): Promise<RecordedLevel[]> {
  const { tx, actor, visit, madeAt } = context
  const rows = await tx.reservoirLevel.findMany({
    where: { businessId: actor.businessId, visitId: visit.id, reservoirId: { in: ids }, madeAt: { lt: madeAt } },
    orderBy: [{ madeAt: 'asc' }, { id: 'asc' }],
  })
  return rows.map(({ reservoirId, levelBefore, levelAfter }) => ({
    reservoirId,
    levelBefore: levelBefore?.toNumber() ?? null,
    levelAfter: levelAfter?.toNumber() ?? null,
  }))
}

/** Figures that show how a device wears. Of one device and quantity at one visit the newest counts. */
export async function recordDeviceReadings(
  context: VisitContext,
  command: CommandOf<'visit.device-readings'>,
): Promise<Refusal | { touched: Pair[] }> {
  const { tx, madeAt, devices } = context
  const rows = []
  const touched = []
  for (const reading of command.readings) {
    const device = devices.get(reading.equipmentId)
    if (!device)
      return refused('does-not-fit', 'This device does not belong to the tank of this visit. Reload the page.')
    const rules = wearRulesOf(device.equipmentClass).filter(({ quantity }) => quantity === reading.quantity)
    if (rules.length === 0) return refused('does-not-fit', `Nobody measures “${reading.quantity}” on ${device.label}.`)
    const stored = storedDeviceReading(reading)
    if ('wrong' in stored) return refused('does-not-fit', `${device.label}: ${stored.wrong}`)
    rows.push({
      ...visitColumns(context),
      id: deviceReadingRowId(command.id, reading),
      equipmentId: device.id,
      quantity: reading.quantity,
      value: stored.value.toFixed(6),
      unit: stored.unit,
      enteredValue: enteredWords(reading),
      enteredUnit: reading.enteredUnit,
      takenAt: madeAt,
      takenOn: asDbDate(dayOfVisit(context)),
    })
    for (const { mode } of rules) touched.push({ equipmentId: device.id, mode })
  }
  await tx.reading.createMany({ data: rows })
  return { touched }
}
