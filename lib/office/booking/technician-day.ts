import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { clockIn, type PlannedRange } from './local-time'

/** A visit that is already planned in the same hours, as one would name it. */
export type OtherVisit = { visitId: string; words: string }

/**
 * From here to the end of the transaction nobody else plans this technician: two bookings made at the same moment see
 * each other.
 */
export async function lockTechnician(tx: Transaction, businessId: string, technicianId: string): Promise<void> {
  await tx.$queryRaw`SELECT 1 AS locked FROM (SELECT pg_advisory_xact_lock(hashtextextended(${`${businessId} ${technicianId}`}, 0))) AS taken`
}

/**
 * Every visit of the technician, also those whose overlap was accepted, that shares time with the range, by its start.
 * Visits that follow one another without a gap do not overlap. Call it under `lockTechnician`.
 */
export async function overlappingVisits(
  tx: Transaction,
  businessId: string,
  technicianId: string,
  { start, end }: PlannedRange,
  exceptVisitId?: string,
): Promise<OtherVisit[]> {
  const visits = await tx.visit.findMany({
    where: {
      businessId,
      technicianId,
      state: { in: ['booked', 'under_way'] },
      plannedStart: { lt: end },
      plannedEnd: { gt: start },
      ...(exceptVisitId === undefined ? {} : { id: { not: exceptVisitId } }),
    },
    select: {
      id: true,
      timeZone: true,
      plannedStart: true,
      plannedEnd: true,
      tank: { select: { name: true } },
      site: { select: { name: true } },
    },
    orderBy: [{ plannedStart: 'asc' }, { id: 'asc' }],
  })
  return visits.flatMap(({ id, timeZone, plannedStart, plannedEnd, tank, site }) =>
    plannedStart && plannedEnd
      ? [
          {
            visitId: id,
            words: `${tank.name}, ${site.name} (${clockIn(timeZone, plannedStart)}–${clockIn(timeZone, plannedEnd)})`,
          },
        ]
      : [],
  )
}
