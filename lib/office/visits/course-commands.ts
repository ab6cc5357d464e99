import 'server-only'
import type { CommandContext } from '../frame/command'
import { dayIn } from '../frame/days'
import { done, type Result, refused, withList } from '../frame/result'
import type { CommandOf } from './schema'
import { leavingHindrances } from './states'
import { dayColumn, type Refusal, type VisitContext, type VisitReason, visitColumns, writeEvent } from './visit-context'

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

/** The end of a visit. What was off must run again and the standing checks be confirmed, or a reason given. */
export function checkLeaving(context: VisitContext, command: CommandOf<'visit.leave'>): Refusal {
  const { outcome, minutes, leftEarlyReason } = command
  const hindrances = hindrancesOf(context, command)
  if (leftEarlyReason === '' && hindrances.length > 0)
    return refused(
      'leaving-check',
      withList('Before you leave:', hindrances, 'If you must go now, say why; the owner is told.'),
    )
  if (leftEarlyReason === '' && outcome === 'cut_short')
    return refused('leaving-check', 'Say why the visit was cut short; the owner is told.')
  const tooLong = command.loggedAfterwards ? null : longerThanHere(context, minutes)
  return tooLong === null ? null : refused('does-not-fit', tooLong)
}

const hindrancesOf = ({ record }: VisitContext, { leavingCheckDone }: CommandOf<'visit.leave'>) =>
  leavingHindrances(record, leavingCheckDone)

/** Keeps what stood against leaving, where somebody left all the same. */
export async function keepLeftEarly(context: VisitContext, command: CommandOf<'visit.leave'>): Promise<void> {
  const { leftEarlyReason: reason } = command
  if (reason !== '') await writeEvent(context, 'left-early', { reason, hindrances: hindrancesOf(context, command) })
}

/** People round, and look at the clock before they tap. */
const LEEWAY_MINUTES = 15

/** Words where more minutes are claimed than have gone by since the arrival; null where they fit, or the end was said before. */
function longerThanHere({ visit, madeAt }: VisitContext, minutes: number): string | null {
  if (visit.arrivedAt === null || visit.leftAt !== null) return null
  const here = Math.max(0, Math.ceil((madeAt.getTime() - visit.arrivedAt.getTime()) / 60_000))
  if (minutes <= here + LEEWAY_MINUTES) return null
  const ago = `${here} ${here === 1 ? 'minute' : 'minutes'} ago`
  return `You said “I am here” ${ago}, and ${minutes} minutes are longer than that. Check the figure. If you came before you said so, tick “I arrived earlier than logged”.`
}

/** A promise is for a day to come. */
export function checkPromise({ day }: VisitContext, { dueOn }: CommandOf<'visit.promise'>): Refusal {
  return dueOn < day ? refused('does-not-fit', 'A promise is for today or a day to come.') : null
}

/** Keeps a promise with its date. */
export async function keepPromised(context: VisitContext, command: CommandOf<'visit.promise'>): Promise<void> {
  const { tx, actor } = context
  const { commandId: _, ...columns } = visitColumns(context)
  const row = { what: command.what, dueOn: dayColumn(command.dueOn), personId: actor.personId }
  await tx.followUp.create({ data: { ...columns, ...row, id: command.id } })
}

/** A promise was kept; said once. */
export async function promiseKept(context: VisitContext, command: CommandOf<'visit.promise-kept'>): Promise<Refusal> {
  const { tx, actor, visit, madeAt } = context
  const { businessId, personId } = actor
  const { count } = await tx.followUp.updateMany({
    where: { businessId, id: command.followUpId, tankId: visit.tankId, doneAt: null },
    data: { doneAt: madeAt, doneById: personId, doneNote: command.note },
  })
  return count === 0 ? refused('not-found', 'This promise is not open any more.') : null
}
