import 'server-only'
import { dayIn } from '../frame/days'
import { compareOrder, orderKey } from './canonical-order'
import { projectVisit } from './projection'
import { NOTHING_BEFORE, noteText, type Pair, type RecordedNote } from './record'
import { dayColumn, type VisitContext } from './visit-context'

/** Arriving, leaving, and who was there. The day on which somebody came is the day of the visit, whatever day was planned. */
export async function writeCourse(context: VisitContext): Promise<Pair[]> {
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

/** Notes, after what an import brought. */
export async function writeNotes(context: VisitContext): Promise<Pair[]> {
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
