import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { lookRowId, rowId } from '../frame/row-ids'
import { creditOf } from './projection'
import { type Pair, pairKey, type RecordedFinding } from './record'
import { againId, endsOfChains, type Origin, ofVisit, originOf, wasSaid } from './rows-in-line'
import { dayColumn, type VisitContext } from './visit-context'

/** Looks and reports of a visit: of each pair the newest look, of each report its own row. */
export async function writeFindings(context: VisitContext): Promise<Pair[]> {
  const { tx, record, rows } = context
  const all = rows.findings
  const ids = new Set(all.map(({ id }) => id))
  const heads = endsOfChains(all).map(({ row }) => row)
  const looks = new Map(
    heads.flatMap((row) =>
      row.learnedBy === 'look' && row.equipmentId !== null
        ? [[pairKey({ equipmentId: row.equipmentId, mode: row.failureMode }), row] as const]
        : [],
    ),
  )
  const added: Prisma.FindingCreateManyInput[] = []
  for (const finding of record.findings) {
    if (finding.by === null) continue
    const head = looks.get(pairKey(finding))
    if (head && saysTheSame(head, finding)) continue
    const origin = originOf(context, finding.by)
    const first = lookRowId(finding.by, finding)
    added.push({
      ...findingColumns(context, finding, origin),
      id: ids.has(first) && head ? againId(context, head.id) : first,
      ...(head && { correctsId: head.id }),
      // What is put right later was seen on the day of the visit all the same.
      ...(head && origin.kind === 'visit.correct' ? { foundOn: head.foundOn } : {}),
    })
  }
  const standing = new Set(record.findings.map(pairKey))
  for (const [key, head] of looks) {
    if (standing.has(key) || head.asFound === 'not_looked' || !wasSaid(context, head)) continue
    added.push(unsaid(context, head))
  }
  const reports = new Map(record.reports.map((report) => [report.id, report]))
  for (const report of record.reports) {
    if (ids.has(report.id) || !wasSaid(context, { commandId: report.id })) continue
    const { asFound, words, reportedOn, sure } = report
    added.push({
      ...findingColumns(context, { ...creditOf(report), asFound, symptom: words }, originOf(context, report.id)),
      id: report.id,
      learnedBy: 'report',
      reportedOn: reportedOn === null ? null : dayColumn(reportedOn),
      reportedSure: sure && reportedOn !== null,
    })
  }
  for (const head of heads)
    if (head.learnedBy === 'report' && wasSaid(context, head) && !reports.has(head.id))
      added.push(unsaid(context, head))
  if (added.length > 0) await tx.finding.createMany({ data: added })
  return added.map((row) => ({ equipmentId: row.equipmentId ?? '', mode: row.failureMode }))
}

type FindingRow = VisitContext['rows']['findings'][number]

function saysTheSame(row: FindingRow, finding: RecordedFinding): boolean {
  const same = ['asFound', 'depth', 'symptom', 'cause', 'remedy', 'asLeft', 'cureConfidence'] as const
  return same.every((field) => row[field] === finding[field])
}

function findingColumns(context: VisitContext, look: Omit<RecordedFinding, 'by' | 'fromTap'>, origin: Origin) {
  const { asFound, depth, symptom, cause, remedy, asLeft, cureConfidence } = look
  const { commandId, madeAt, day, deviceSeq } = origin
  const device = context.devices.get(look.equipmentId)
  return {
    ...ofVisit(context),
    ...{ asFound, depth, symptom, cause, remedy, asLeft, cureConfidence, commandId, madeAt, deviceSeq },
    ...{ equipmentId: look.equipmentId, failureMode: look.mode, foundOn: dayColumn(day) },
    slotId: device?.slotId ?? null,
    equipmentClass: device?.equipmentClass ?? '',
  }
}

/** Nobody says this any more: whether it is so was not looked at. */
function unsaid({ commandId, madeAt, deviceSeq }: VisitContext, head: FindingRow): Prisma.FindingCreateManyInput {
  const nothing = {
    asFound: 'not_looked',
    depth: 'running',
    symptom: '',
    cause: '',
    remedy: '',
    asLeft: '',
    cureConfidence: null,
  }
  const own = { commandId, madeAt, deviceSeq, learnedBy: 'look', reportedOn: null, reportedSure: null }
  return { ...head, ...nothing, ...own, id: rowId(commandId, `unsaid ${head.id}`), correctsId: head.id }
}
