import 'server-only'
import { type CommandContext, defineCommand } from '../frame/command'
import { done, invalid, type Result, refused } from '../frame/result'
import { lockVisit, PLAN, type PlanReason } from './change-plan'
import { type BookVisitInput, bookVisitSchema, cancelVisitSchema, moveVisitSchema, outOfHoursSchema } from './schema'
import { settlePlan } from './settle-plan'

export type VisitResult = Promise<Result<{ visitId: string }, PlanReason>>

/**
 * Books a visit to a tank in care. The visit's id is the command's. Without a planned start only the day is settled.
 * Refused: 'overlap' where the technician is already booked then, unless `overlapAccepted`.
 */
export const bookVisit = defineCommand({ ...PLAN, kind: 'visit.book', schema: bookVisitSchema }, (context, input) =>
  writeBooking(context, input),
)

/** The booking itself, inside a command: for a visit, and for a request that becomes one. */
export async function writeBooking(
  context: CommandContext,
  input: Omit<BookVisitInput, 'businessId' | 'commandId'>,
): VisitResult {
  const { tx, actor, commandId, audit } = context
  const tank = await tx.tank.findFirst({
    where: { businessId: actor.businessId, id: input.tankId, archivedAt: null, mergedIntoId: null },
    select: {
      id: true,
      clientId: true,
      siteId: true,
      site: { select: { timeZone: true } },
      business: { select: { timeZone: true } },
    },
  })
  if (!tank) return invalid({ tankId: ['This tank is not in care any more. Choose another.'] })
  const plan = await settlePlan(context, tank.site.timeZone ?? tank.business.timeZone, input)
  if (!plan.ok) return plan
  const visit = await tx.visit.create({
    data: {
      businessId: actor.businessId,
      id: commandId,
      clientId: tank.clientId,
      tankId: tank.id,
      siteId: tank.siteId,
      kind: input.kind,
      state: 'booked',
      whatFor: input.whatFor,
      ...plan.value,
    },
  })
  await audit('visit', visit.id, 'book', undefined, visit)
  return done({ visitId: visit.id })
}

/** Gives a booked visit another day, window, time, length or technician; what it is for stays unless given. */
export const moveVisit = defineCommand(
  { ...PLAN, kind: 'visit.move', schema: moveVisitSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const before = await bookedVisit(context, input.visitId)
    if (!before.ok) return before
    const plan = await settlePlan(context, before.value.timeZone, input, input.visitId)
    if (!plan.ok) return plan
    const after = await tx.visit.update({
      where: { businessId_id: { businessId: actor.businessId, id: input.visitId } },
      data: { ...plan.value, ...(input.whatFor === undefined ? {} : { whatFor: input.whatFor }) },
    })
    await audit('visit', input.visitId, 'move', before.value, after)
    return done({ visitId: input.visitId })
  },
)

/** Cancels a booked visit; the reason stays with us. */
export const cancelVisit = defineCommand(
  { ...PLAN, kind: 'visit.cancel', schema: cancelVisitSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const { visitId, reason } = input
    const { businessId } = actor
    // The schema says so too; a caller that did not go through it must not get past.
    if (reason.trim() === '') return invalid({ reason: ['Why is it cancelled? A few words are enough.'] })
    const before = await bookedVisit(context, visitId)
    if (!before.ok) return before
    await tx.visit.update({ where: { businessId_id: { businessId, id: visitId } }, data: { state: 'cancelled' } })
    await tx.visitPrivate.upsert({
      where: { businessId_visitId: { businessId, visitId } },
      create: { businessId, id: commandId, visitId, cancelledReason: reason },
      update: { cancelledReason: reason },
    })
    await audit('visit', visitId, 'cancel', { state: 'booked' }, { state: 'cancelled', reason })
    return done({ visitId })
  },
)

/** Says that a visit was, or will be, out of hours, or that it is not; billing goes by it. */
export const setOutOfHours = defineCommand(
  { ...PLAN, kind: 'visit.out-of-hours', schema: outOfHoursSchema },
  async (context, { visitId, outOfHours }) => {
    const { tx, actor, audit } = context
    await lockVisit(context, visitId)
    const where = { businessId_id: { businessId: actor.businessId, id: visitId } }
    const before = await tx.visit.findUnique({ where, select: { outOfHours: true } })
    if (!before) return refused('not-found', 'This visit is not in the plan any more. Reload the page.')
    await tx.visit.update({ where, data: { outOfHours } })
    await audit('visit', visitId, 'out-of-hours', before, { outOfHours })
    return done({ visitId })
  },
)

/** A visit of this business that can still be moved or cancelled, locked. */
async function bookedVisit(context: CommandContext, visitId: string) {
  const { tx, actor } = context
  await lockVisit(context, visitId)
  const visit = await tx.visit.findUnique({ where: { businessId_id: { businessId: actor.businessId, id: visitId } } })
  if (!visit) return refused('not-found', 'This visit is not in the plan any more. Reload the page.')
  if (visit.state !== 'booked') return refused('not-open', NOT_OPEN[visit.state] ?? 'This visit can no longer change.')
  return done(visit)
}

const NOT_OPEN: Readonly<Record<string, string>> = {
  under_way: 'The technician is already there: this visit can no longer be moved or cancelled.',
  done: 'This visit is over: it can no longer be moved or cancelled.',
  cancelled: 'This visit is cancelled. Book a new one.',
}
