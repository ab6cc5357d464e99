import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { chanceLasts, daysUntilEmpty } from '@/lib/science'
import { refillOf, SURE_ENOUGH } from '@/lib/trade'
import { ownNames } from '../due/queries'
import { fallenFaults } from '../faults/remedies'
import { classWords, modeWords } from '../lanes/lane-views'
import { asRecords, readLevels } from '../refills/read-levels'
import { containerOf, RESERVOIR_COLUMNS } from '../refills/refill-view'

/** Enough to tell how fast a container is used up. */
const NEWEST_LEVELS = 26

/**
 * What is known of these tanks that speaks against coming more rarely than now, in words: a container of ours that does not last so long when full, and faults that
 * surely come back and have not fallen since a remedy. Answers nothing where the cadence asked about is no longer than the present one.
 */
export async function readObjections(
  tx: Transaction,
  businessId: string,
  tankIds: string[],
  todayDay: number,
): Promise<(tankId: string, asked: { presentDays: number; days: number }) => string[]> {
  if (tankIds.length === 0) return () => []
  const containers = await tx.reservoir.findMany({
    where: { businessId, tankId: { in: tankIds }, archivedAt: null, filledBy: 'technician' },
    select: RESERVOIR_COLUMNS,
    orderBy: [{ label: 'asc' }, { id: 'asc' }],
  })
  const levels = await readLevels(
    tx,
    businessId,
    containers.map(({ id }) => id),
    NEWEST_LEVELS,
  )
  const faults = await tx.repeatFault.findMany({
    where: { businessId, tankId: { in: tankIds }, isSure: true },
    orderBy: [{ probabilityAbove: 'desc' }, { failureMode: 'asc' }],
    select: { tankId: true, equipmentClass: true, failureMode: true, modelVersion: true },
  })
  const hasFallen = await fallenFaults(tx, businessId, faults, todayDay)
  const names = await ownNames(tx, businessId)
  const tooSmall = (row: (typeof containers)[number], days: number): string[] => {
    const container = containerOf(row)
    const full = container.capacity - container.emptyAt
    const { consumption } = refillOf(container, asRecords(levels.get(row.id) ?? []), null, { chanceOnly: true })
    if (!consumption || full <= 0 || chanceLasts(consumption, full, days) >= SURE_ENOUGH) return []
    const lasts = Math.round(daysUntilEmpty(consumption, full).median)
    return [`${container.label} lasts about ${lasts} ${lasts === 1 ? 'day' : 'days'} when full`]
  }
  return (tankId, { presentDays, days }) =>
    days <= presentDays
      ? []
      : [
          ...containers.filter((row) => row.tankId === tankId).flatMap((row) => tooSmall(row, days)),
          ...faults
            .filter((fault) => fault.tankId === tankId && !hasFallen(fault))
            .map(
              ({ equipmentClass, failureMode }) =>
                `${modeWords(failureMode, names)} (${classWords(equipmentClass, names)}) comes back again and again`,
            ),
        ]
}
