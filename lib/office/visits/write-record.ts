import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { dayIn } from '../frame/days'
import { lookRowId, rowId } from '../frame/row-ids'
import { compareOrder, orderKey } from './canonical-order'
import { creditOf, projectVisit } from './projection'
import { NOTHING_BEFORE, noteText, type Pair, pairKey, type RecordedFinding, type RecordedNote } from './record'
import type { VisitCommand } from './schema'
import { settleUse } from './settle-use'
import { dayColumn, type Section, type VisitContext } from './visit-context'
import { storedReading } from './water'

/** When a command was made, on which day at the site, and by which device: columns of each row that it says. */
type Origin = { commandId: string | null; madeAt: Date; day: string; deviceSeq: number; kind: VisitCommand['kind'] }

/**
 * Brings the rows of a visit in line with its record. A row is only ever added: a new one where nothing was said before, a correction of the newest
 * where that says something else, one that takes back where nothing is said any more. What is in line is left alone, so that the same record
 * written again changes nothing. Returns the pairs whose lives change.
 */
export async function writeRecord(context: VisitContext, sections: readonly Section[]): Promise<Pair[]> {
  const touched: Pair[] = []
  for (const section of sections) touched.push(...(await WRITERS[section](context)))
  return touched
}

const WRITERS: Record<Section, (context: VisitContext) => Promise<Pair[]>> = {
  course: writeCourse,
  notes: writeNotes,
  findings: writeFindings,
  renewals: writeRenewals,
  readings: writeReadings,
  parts: writeParts,
}

function originOf({ said, commandId, madeAt, day, deviceSeq, visit }: VisitContext, by: string | null): Origin {
  const command = said.find(({ id }) => id === by)
  if (!command) return { commandId, madeAt, day, deviceSeq, kind: 'visit.take-back' }
  const at = new Date(orderKey(command).at)
  return {
    commandId: command.id,
    madeAt: at,
    day: dayIn(visit.timeZone, at),
    deviceSeq: command.deviceSeq,
    kind: command.kind,
  }
}

/** Columns of every row that belongs to a visit and to its client of that time. */
function ofVisit({ actor, visit }: VisitContext) {
  return { businessId: actor.businessId, clientId: visit.clientId, tankId: visit.tankId, visitId: visit.id }
}

/** Rows that the visit's commands said; an import's stay as they are. */
function wasSaid({ said }: VisitContext, { commandId }: { commandId: string | null }): boolean {
  return said.some(({ id }) => id === commandId)
}

/** The rows nobody corrected, each with the id of the row its chain began with. */
function endsOfChains<Row extends { id: string; correctsId: string | null }>(rows: readonly Row[]) {
  const byId = new Map(rows.map((row) => [row.id, row]))
  const corrected = new Set(rows.flatMap(({ correctsId }) => correctsId ?? []))
  return rows
    .filter(({ id }) => !corrected.has(id))
    .map((row) => {
      let root = row
      for (let before = row.correctsId; before !== null; before = root.correctsId) {
        const next = byId.get(before)
        if (!next) break
        root = next
      }
      return { rootId: root.id, row }
    })
}

/** The id of a row that says something once more, or anew after it was taken back: the one it would have at first stands in the chain already. */
const againId = ({ commandId }: VisitContext, headId: string) => rowId(commandId, `after ${headId}`)

async function writeFindings(context: VisitContext): Promise<Pair[]> {
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

async function writeRenewals(context: VisitContext): Promise<Pair[]> {
  const { tx, record, rows } = context
  const heads = new Map(endsOfChains(rows.renewals).map(({ rootId, row }) => [rootId, row]))
  const added: Prisma.RenewalCreateManyInput[] = []
  for (const { id, equipmentId, mode, task, reason, partial, by } of record.renewals) {
    const head = heads.get(id)
    heads.delete(id)
    if (head ? head.reason === reason && head.isPartial === partial : by === null) continue
    const { commandId, madeAt, day, deviceSeq } = originOf(context, by)
    const { clientId: _, ...ofTank } = ofVisit(context)
    added.push({
      ...(head ?? {
        ...{ ...ofTank, equipmentId, failureMode: mode, careTask: task, renewedOn: dayColumn(day) },
        slotId: context.devices.get(equipmentId)?.slotId ?? null,
      }),
      ...{ reason, isPartial: partial, commandId, madeAt, deviceSeq },
      ...(head ? { id: againId(context, head.id), correctsId: head.id } : { id }),
    })
  }
  // What was taken back renews nothing, as a part of the task renews nothing.
  for (const head of heads.values())
    if (!head.isPartial && wasSaid(context, head)) {
      const { commandId, madeAt, deviceSeq } = context
      added.push({
        ...head,
        ...{
          isPartial: true,
          commandId,
          madeAt,
          deviceSeq,
          id: rowId(commandId, `unsaid ${head.id}`),
          correctsId: head.id,
        },
      })
    }
  if (added.length > 0) await tx.renewal.createMany({ data: added })
  return added.map(({ equipmentId, failureMode }) => ({ equipmentId, mode: failureMode }))
}

/** Of a reading that was taken back: no quantity, so that nobody who asks for one finds it. */
const NO_QUANTITY = ''

async function writeReadings(context: VisitContext): Promise<Pair[]> {
  const { tx, record, rows } = context
  const ofWater = rows.readings.filter(({ equipmentId }) => equipmentId === null)
  const heads = new Map(endsOfChains(ofWater).map(({ rootId, row }) => [rootId, row]))
  const added: Prisma.ReadingCreateManyInput[] = []
  for (const reading of record.readings) {
    const { id, quantity, enteredValue, enteredUnit, by } = reading
    const head = heads.get(id)
    heads.delete(id)
    const same = head?.enteredValue === enteredValue && head.enteredUnit === enteredUnit && head.quantity === quantity
    if (same || by === null) continue
    const { commandId, madeAt, day } = originOf(context, by)
    const stored = storedReading(reading)
    if ('wrong' in stored) continue // refused before it came here
    added.push({
      ...(head ?? { ...ofVisit(context), takenAt: madeAt, takenOn: dayColumn(day) }),
      ...{ quantity, enteredValue, enteredUnit, unit: stored.unit, value: stored.value.toFixed(6), commandId },
      ...(head ? { id: againId(context, head.id), correctsId: head.id } : { id }),
    })
  }
  for (const head of heads.values())
    if (head.quantity !== NO_QUANTITY && wasSaid(context, head))
      added.push({
        ...{ ...head, quantity: NO_QUANTITY, enteredValue: '', value: '0', commandId: context.commandId },
        ...{ id: rowId(context.commandId, `unsaid ${head.id}`), correctsId: head.id },
      })
  if (added.length > 0) await tx.reading.createMany({ data: added })
  return []
}

/** Stock follows the newest words of each use. Billed or not: what is put right of an amount is proposed to be billed, or credited. */
async function writeParts(context: VisitContext): Promise<Pair[]> {
  const { tx, record, rows } = context
  const heads = new Map(endsOfChains(rows.partUseds).map(({ rootId, row }) => [rootId, row]))
  const standing = new Map(record.parts.map((part) => [part.id, part]))
  for (const rootId of new Set([...standing.keys(), ...heads.keys()])) {
    const head = heads.get(rootId)
    const part = standing.get(rootId)
    if (part ? part.by === null : !head || !wasSaid(context, head)) continue
    const said = part
      ? {
          priceItemId: part.priceItemId,
          partId: part.partId,
          description: part.description,
          quantity: part.quantity,
          billable: part.billable,
        }
      : {
          priceItemId: head?.priceItemId ?? null,
          partId: head?.partId ?? null,
          description: head?.description ?? '',
          quantity: 0,
          billable: false,
        }
    if (head && head.quantity.toNumber() === said.quantity && sameUse(head, said)) continue
    const { commandId, day } = originOf(context, part?.by ?? null)
    const id = head ? againId(context, head.id) : rootId
    const usedOn = head?.usedOn ?? dayColumn(day)
    await tx.partUsed.create({
      data: { ...(head ?? ofVisit(context)), ...said, id, usedOn, commandId, ...(head && { correctsId: head.id }) },
    })
    const chain = head ? [id, ...chainOf(rows.partUseds, head.id)] : []
    await settleUse(context, chain, {
      id,
      partId: said.partId,
      quantity: said.quantity,
      usedOn: usedOn.toISOString().slice(0, 10),
    })
  }
  return []
}

type PartRow = VisitContext['rows']['partUseds'][number]
type Use = Pick<PartRow, 'priceItemId' | 'partId' | 'description' | 'billable'>
const sameUse = (row: Use, said: Use) =>
  row.priceItemId === said.priceItemId &&
  row.partId === said.partId &&
  row.description === said.description &&
  row.billable === said.billable

/** A row's id and those of all it corrects, the newest first. */
function chainOf(rows: readonly PartRow[], id: string): string[] {
  const before = rows.find((row) => row.id === id)?.correctsId
  return before ? [id, ...chainOf(rows, before)] : [id]
}

/** Arriving, leaving, and who was there. The day on which somebody came is the day of the visit, whatever day was planned. */
async function writeCourse(context: VisitContext): Promise<Pair[]> {
  const { tx, actor, visit, record, said, audit } = context
  const { businessId } = actor
  const came = said.filter(({ kind }) =>
    ['visit.start', 'visit.arrive', 'visit.leave', 'visit.no-access'].includes(kind),
  )
  const first = came.toSorted((a, b) => compareOrder(orderKey(a), orderKey(b)))[0]
  const isBegun = record.arrivedAt !== null || record.leftAt !== null
  const state = record.leftAt !== null ? 'done' : isBegun ? 'under_way' : 'booked'
  const after = {
    ...{ state, outcome: record.outcome, minutes: record.minutes },
    arrivedAt: record.arrivedAt === null ? null : new Date(record.arrivedAt),
    leftAt: record.leftAt === null ? null : new Date(record.leftAt),
    technicianId: visit.technicianId ?? (isBegun ? actor.personId : null),
    localDate:
      visit.state === 'booked' && isBegun && first
        ? dayColumn(dayIn(visit.timeZone, new Date(orderKey(first).at)))
        : visit.localDate,
  }
  const { outcome, minutes, arrivedAt, leftAt, technicianId, localDate } = visit
  const before = { state: visit.state, outcome, minutes, arrivedAt, leftAt, technicianId, localDate }
  if (JSON.stringify(after) !== JSON.stringify({ ...before })) {
    await tx.visit.update({ where: { businessId_id: { businessId, id: visit.id } }, data: after })
    await audit('visit', visit.id, record.leftAt === null ? 'arrive' : 'leave', before, after)
  }
  await keepPrivate(context, { leftEarlyReason: record.reason })
  return []
}

async function writeNotes(context: VisitContext): Promise<Pair[]> {
  const { tx, actor, visit, commandId, said, record, audit } = context
  const before = projectVisit(
    NOTHING_BEFORE,
    said.filter(({ id }) => id !== commandId),
  )
  const forClient = withBrought(visit.noteForClient, before.notesForClient, record.notesForClient)
  if (forClient !== visit.noteForClient) {
    const where = { businessId_id: { businessId: actor.businessId, id: visit.id } }
    await tx.visit.update({ where, data: { noteForClient: forClient } })
    await audit('visit', visit.id, 'note', { noteForClient: visit.noteForClient }, { noteForClient: forClient })
  }
  const forUs = withBrought(visit.visitPrivate?.noteForUs ?? '', before.notesForUs, record.notesForUs)
  await keepPrivate(context, { noteForUs: forUs })
  return []
}

/** The notes as one text, after what an import brought: that is what stands there beside what was said before. */
function withBrought(kept: string, before: readonly RecordedNote[], now: readonly RecordedNote[]): string {
  const known = noteText(before)
  const brought = kept.endsWith(known) ? kept.slice(0, kept.length - known.length).trimEnd() : ''
  return noteText([...(brought === '' ? [] : [{ id: '', text: brought }]), ...now])
}

type Private = Partial<Record<'noteForUs' | 'leftEarlyReason', string>>

async function keepPrivate({ tx, actor, visit }: VisitContext, data: Private): Promise<void> {
  const { businessId } = actor
  const kept = visit.visitPrivate
  if (Object.entries(data).every(([column, words]) => (kept?.[column as keyof Private] ?? '') === words)) return // its own keys
  await tx.visitPrivate.upsert({
    where: { businessId_visitId: { businessId, visitId: visit.id } },
    create: { businessId, id: visit.id, visitId: visit.id, ...data },
    update: data,
  })
}
