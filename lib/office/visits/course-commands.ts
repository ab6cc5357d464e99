import 'server-only'
import { newId } from '@/lib/new-id'
import type { CommandContext } from '../frame/command'
import { dayIn } from '../frame/days'
import { done, type Result, refused, withList } from '../frame/result'
import { compareOrder } from './canonical-order'
import { noteText } from './record'
import type { CommandOf } from './schema'
import { currentNotes, leavingHindrances, type NoteSaid, switchState } from './states'
import { type Applied, dayColumn, type VisitContext, type VisitReason, visitColumns, writeEvent } from './visit-context'
import { eventOrder, readEvents } from './visit-events'

/** Makes the row of a visit that nobody planned, at the tank as it is now. The technician is there. */
export async function startVisit(
  context: CommandContext,
  command: CommandOf<'visit.start'>,
): Promise<Result<null, VisitReason>> {
  const { tx, actor, madeAt } = context
  const { businessId, personId } = actor
  if (command.visitId !== command.id) return refused('does-not-fit', 'A visit that starts now carries its own id.')
  const tank = await tx.tank.findFirst({
    where: { businessId, id: command.tankId, archivedAt: null, mergedIntoId: null },
    select: { id: true, clientId: true, siteId: true, site: { select: { timeZone: true } } },
  })
  if (!tank) return refused('not-found', 'This tank is not looked after any more. Reload the page.')
  const business = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } })
  const timeZone = tank.site.timeZone ?? business.timeZone
  await tx.visit.create({
    data: {
      ...{ businessId, id: command.id, clientId: tank.clientId, tankId: tank.id, siteId: tank.siteId, timeZone },
      technicianId: personId,
      kind: command.visitKind,
      state: 'under_way',
      localDate: dayColumn(dayIn(timeZone, madeAt)),
      whatFor: command.whatFor,
    },
  })
  return done(null)
}

/** Somebody is there. The first arrival counts, whichever comes in first. */
export async function arrive(context: VisitContext): Promise<Applied> {
  const { visit, madeAt, actor, day } = context
  const first = visit.arrivedAt === null || madeAt < visit.arrivedAt ? madeAt : visit.arrivedAt
  await writeEvent(context, 'arrived')
  await changeVisit(context, 'arrive', {
    state: visit.state === 'booked' ? 'under_way' : visit.state,
    arrivedAt: first,
    technicianId: visit.technicianId ?? actor.personId,
    // The day on which somebody came is the day of the visit, whatever day was planned.
    ...(visit.state === 'booked' ? { localDate: dayColumn(day) } : {}),
  })
  return done({ touched: [] })
}

/** The end of a visit. What was off must run again and the standing checks be confirmed, or a reason given. */
export async function leave(context: VisitContext, command: CommandOf<'visit.leave'>): Promise<Applied> {
  const { outcome, minutes, leavingCheckDone, leftEarlyReason } = command
  const events = await readEvents(context.tx, context.actor.businessId, context.visit.id)
  const hindrances = leavingHindrances(switchState(events.switching), leavingCheckDone)
  if (leftEarlyReason === '' && hindrances.length > 0)
    return refused(
      'leaving-check',
      withList('Before you leave:', hindrances, 'If you must go now, say why; the owner is told.'),
    )
  if (leftEarlyReason === '' && outcome === 'cut_short')
    return refused('leaving-check', 'Say why the visit was cut short; the owner is told.')
  const tooLong = command.loggedAfterwards ? null : longerThanHere(context, minutes)
  if (tooLong !== null) return refused('does-not-fit', tooLong)
  const { deviceId, deviceSeq } = command
  await writeEvent(context, 'left', {
    outcome,
    minutes,
    leavingCheckDone,
    reason: leftEarlyReason,
    deviceId,
    deviceSeq,
  })
  if (leftEarlyReason !== '') await writeEvent(context, 'left-early', { reason: leftEarlyReason, hindrances }, newId())
  return end(context, command, { outcome, minutes, reason: leftEarlyReason })
}

/** People round, and look at the clock before they tap. */
const LEEWAY_MINUTES = 15

/** Words where more minutes are claimed than have gone by since the arrival; null where they fit, or the end was said before. */
function longerThanHere({ visit, madeAt }: VisitContext, minutes: number): string | null {
  if (visit.arrivedAt === null || visit.leftAt !== null) return null
  const here = Math.max(0, Math.ceil((madeAt.getTime() - visit.arrivedAt.getTime()) / 60_000))
  if (minutes <= here + LEEWAY_MINUTES) return null
  const ago = `${here} ${here === 1 ? 'minute' : 'minutes'} ago`
  return `You said “I am here” ${ago}, and ${minutes} minutes are longer than that. Check the figure. If you came before you said so, tick “I was here before I said so”.`
}

/** Nobody let us in. */
export async function noAccess(context: VisitContext, command: CommandOf<'visit.no-access'>): Promise<Applied> {
  const { minutes, reason, deviceId, deviceSeq } = command
  await writeEvent(context, 'no-access', { minutes, reason, deviceId, deviceSeq })
  return end(context, command, { outcome: 'no_access', minutes, reason })
}

/** The end that was said last is the one that stands. */
async function end(
  context: VisitContext,
  command: CommandOf<'visit.leave'> | CommandOf<'visit.no-access'>,
  said: { outcome: string; minutes: number | null; reason: string },
): Promise<Applied> {
  const { tx, actor, visit, madeAt, day } = context
  const events = await readEvents(tx, actor.businessId, visit.id)
  const last = events.ends.toSorted((a, b) => compareOrder(eventOrder(a), eventOrder(b))).at(-1)
  if (last && last.commandId !== command.id) return done({ touched: [] })
  await changeVisit(context, 'leave', {
    state: 'done',
    outcome: said.outcome,
    minutes: said.minutes,
    leftAt: madeAt,
    technicianId: visit.technicianId ?? actor.personId,
    ...(visit.state === 'booked' ? { localDate: dayColumn(day) } : {}),
  })
  await changePrivate(context, { leftEarlyReason: said.reason })
  return done({ touched: [] })
}

/** A note. Whoever writes one anew names the ones it replaces, so that two people never write over each other. */
export async function note(context: VisitContext, command: CommandOf<'visit.note'>): Promise<Applied> {
  const { audience, text, replaces, deviceId, deviceSeq } = command
  await writeEvent(context, 'note', { audience, text, replaces, deviceId, deviceSeq })
  const { notes } = await readEvents(context.tx, context.actor.businessId, context.visit.id)
  const { notesForClient, notesForUs } = currentNotes(notes satisfies NoteSaid[])
  if (audience === 'client') await changeVisit(context, 'note', { noteForClient: noteText(notesForClient) })
  else await changePrivate(context, { noteForUs: noteText(notesForUs) })
  return done({ touched: [] })
}

/** A promise with a date. */
export async function promise(context: VisitContext, command: CommandOf<'visit.promise'>): Promise<Applied> {
  const { tx, actor, day } = context
  if (command.dueOn < day) return refused('does-not-fit', 'A promise is for today or a day to come.')
  const { commandId: _, ...columns } = visitColumns(context)
  const row = { what: command.what, dueOn: dayColumn(command.dueOn), personId: actor.personId }
  await tx.followUp.create({ data: { ...columns, ...row, id: command.id } })
  return done({ touched: [] })
}

/** A promise was kept; said once. */
export async function promiseKept(context: VisitContext, command: CommandOf<'visit.promise-kept'>): Promise<Applied> {
  const { tx, actor, visit, madeAt } = context
  const { businessId, personId } = actor
  const { count } = await tx.followUp.updateMany({
    where: { businessId, id: command.followUpId, tankId: visit.tankId, doneAt: null },
    data: { doneAt: madeAt, doneById: personId, doneNote: command.note },
  })
  if (count === 0) return refused('not-found', 'This promise is not open any more.')
  await writeEvent(context, 'promise-kept', { followUpId: command.followUpId, note: command.note })
  return done({ touched: [] })
}

/** The words about a picture. The picture itself comes through the upload. */
export async function photo(context: VisitContext, command: CommandOf<'visit.photo'>): Promise<Applied> {
  const { caption, forClient, takenAt } = command
  await writeEvent(context, 'photo', { caption, forClient, takenAt })
  return done({ touched: [] })
}

async function changeVisit(
  context: VisitContext,
  action: string,
  data: Partial<Record<'state' | 'outcome' | 'noteForClient' | 'technicianId', string>> & {
    minutes?: number | null
    arrivedAt?: Date
    leftAt?: Date
    localDate?: Date
  },
): Promise<void> {
  const { tx, actor, visit } = context
  await tx.visit.update({ where: { businessId_id: { businessId: actor.businessId, id: visit.id } }, data })
  const { state, outcome, minutes, arrivedAt, leftAt } = visit
  const before = { state, outcome, minutes, arrivedAt, leftAt }
  await context.audit('visit', visit.id, action, before, data)
}

async function changePrivate(
  { tx, actor, visit }: VisitContext,
  data: { noteForUs?: string; leftEarlyReason?: string },
) {
  const { businessId } = actor
  await tx.visitPrivate.upsert({
    where: { businessId_visitId: { businessId, visitId: visit.id } },
    create: { businessId, id: visit.id, visitId: visit.id, ...data },
    update: data,
  })
}
