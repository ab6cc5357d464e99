import { asDay } from '@/lib/office/frame/days'
import { noteText, pairKey, type VisitRecord } from '@/lib/office/visits/record'
import type { Transaction } from '@/lib/platform/db/scope'

/**
 * What the rows of a visit say, read as every other screen reads them: of each chain the row nobody corrected. Written apart from the code that
 * writes them.
 */
export async function rowsOf(tx: Transaction, businessId: string, visitId: string) {
  const where = { businessId, visitId, correctedBy: { is: null } }
  const visit = await tx.visit.findFirstOrThrow({ where: { businessId, id: visitId }, include: { visitPrivate: true } })
  const findings = await tx.finding.findMany({ where: { ...where, asFound: { not: 'not_looked' } } })
  const renewals = await tx.renewal.findMany({ where: { ...where, isPartial: false } })
  const readings = await tx.reading.findMany({ where: { ...where, equipmentId: null, quantity: { not: '' } } })
  const parts = await tx.partUsed.findMany({ where: { ...where, quantity: { not: 0 } } })
  return {
    arrivedAt: visit.arrivedAt?.toISOString() ?? null,
    leftAt: visit.leftAt?.toISOString() ?? null,
    ...{ outcome: visit.outcome, minutes: visit.minutes, reason: visit.visitPrivate?.leftEarlyReason ?? '' },
    ...{ noteForClient: visit.noteForClient, noteForUs: visit.visitPrivate?.noteForUs ?? '' },
    findings: sorted(
      findings
        .filter(({ learnedBy }) => learnedBy === 'look')
        .map(({ equipmentId, failureMode, asFound, depth, symptom, cause, remedy, asLeft, cureConfidence }) => ({
          pair: pairKey({ equipmentId: equipmentId ?? '', mode: failureMode }),
          ...{ asFound, depth, symptom, cause, remedy, asLeft, cureConfidence },
        })),
    ),
    reports: sorted(
      findings
        .filter(({ learnedBy }) => learnedBy === 'report')
        .map(({ id, equipmentId, failureMode, asFound, symptom, reportedOn }) => ({
          pair: pairKey({ equipmentId: equipmentId ?? '', mode: failureMode }),
          ...{ id, asFound, words: symptom, reportedOn: asDay(reportedOn) },
        })),
    ),
    renewals: sorted(
      renewals.map(({ equipmentId, failureMode, careTask, reason }) => ({
        pair: pairKey({ equipmentId, mode: failureMode }),
        ...{ task: careTask, reason },
      })),
    ),
    readings: sorted(
      readings.map(({ quantity, enteredValue, enteredUnit }) => ({ quantity, enteredValue, enteredUnit })),
    ),
    parts: sorted(
      parts.map(({ description, partId, priceItemId, quantity, billable }) => ({
        ...{ description, partId, priceItemId, quantity: quantity.toNumber(), billable },
      })),
    ),
  }
}

/** The same of a record. */
export function asRows(record: VisitRecord): Awaited<ReturnType<typeof rowsOf>> {
  const { arrivedAt, leftAt, outcome, minutes, reason } = record
  return {
    ...{ arrivedAt, leftAt, outcome, minutes, reason },
    ...{ noteForClient: noteText(record.notesForClient), noteForUs: noteText(record.notesForUs) },
    findings: sorted(
      record.findings
        .filter(({ asFound }) => asFound !== 'not_looked')
        .map(({ asFound, depth, symptom, cause, remedy, asLeft, cureConfidence, ...pair }) => ({
          pair: pairKey(pair),
          ...{ asFound, depth, symptom, cause, remedy, asLeft, cureConfidence },
        })),
    ),
    reports: sorted(
      record.reports.map(({ id, asFound, words, reportedOn, ...pair }) => ({
        pair: pairKey(pair),
        ...{ id, asFound, words, reportedOn },
      })),
    ),
    renewals: sorted(
      record.renewals
        .filter(({ partial }) => !partial)
        .map(({ task, reason, ...pair }) => ({ pair: pairKey(pair), ...{ task, reason } })),
    ),
    readings: sorted(
      record.readings.map(({ quantity, enteredValue, enteredUnit }) => ({ quantity, enteredValue, enteredUnit })),
    ),
    parts: sorted(
      record.parts
        .filter(({ quantity }) => quantity !== 0)
        .map(({ description, partId, priceItemId, quantity, billable }) => ({
          ...{ description, partId, priceItemId, quantity, billable },
        })),
    ),
  }
}

const sorted = <Row>(rows: Row[]): Row[] => rows.toSorted((a, b) => (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1))
