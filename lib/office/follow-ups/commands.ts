import 'server-only'
import { type CommandContext, defineCommand } from '../frame/command'
import { asDay, asDbDate } from '../frame/days'
import { done, invalid, refused } from '../frame/result'
import { doneFollowUpSchema, promiseFollowUpSchema } from './schema'

/** Writes down a promise: what, for which tank, by which day, by whom. The follow-up's id is the command's. */
export const promiseFollowUp = defineCommand(
  { kind: 'follow-up.promise', may: 'visit.log', schema: promiseFollowUpSchema },
  async (context, input) => {
    const { tx, actor, commandId } = context
    const { businessId } = actor
    const { tankId, what, dueOn } = input
    const visit = input.visitId === '' ? null : await findVisit(context, input.visitId)
    if (visit === undefined || (visit && visit.tankId !== tankId))
      return refused('not-found', 'This visit is not here any more. Reload the page.')
    const tank = await tx.tank.findFirst({ where: { businessId, id: tankId, mergedIntoId: null } })
    if (!tank) return invalid({ tankId: ['This tank is not in the register any more. Choose another.'] })
    const personId = input.personId === '' ? null : input.personId
    if (personId !== null && !(await isHere(context, personId)))
      return invalid({ personId: ['This person cannot keep a promise any more. Choose another.'] })
    await tx.followUp.create({
      data: {
        businessId,
        id: commandId,
        clientId: visit?.clientId ?? tank.clientId,
        tankId,
        visitId: visit?.id ?? null,
        what,
        dueOn: asDbDate(dueOn),
        personId,
      },
    })
    await context.audit('follow_up', commandId, 'promise', undefined, { what, dueOn, personId })
    return done({ followUpId: commandId })
  },
)

/** Says that a promise is kept, by whom and when. A second time is refused: the first word stands. */
export const doneFollowUp = defineCommand(
  { kind: 'follow-up.done', may: 'visit.log', schema: doneFollowUpSchema },
  async (context, input) => {
    const { tx, actor, madeAt } = context
    const { businessId, personId } = actor
    const { followUpId, note } = input
    const { count } = await tx.followUp.updateMany({
      where: { businessId, id: followUpId, doneAt: null },
      data: { doneAt: madeAt, doneById: personId, doneNote: note },
    })
    if (count === 0) {
      const there = await tx.followUp.findUnique({ where: { businessId_id: { businessId, id: followUpId } } })
      if (there?.doneAt)
        return refused('already-done', `This was kept on ${asDay(there.doneAt)} already. Reload the page.`)
      return refused('not-found', 'This promise is not here any more. Reload the page.')
    }
    await context.audit('follow_up', followUpId, 'done', undefined, { note })
    return done({ followUpId })
  },
)

async function findVisit({ tx, actor }: CommandContext, visitId: string) {
  const visit = await tx.visit.findUnique({
    where: { businessId_id: { businessId: actor.businessId, id: visitId } },
    select: { id: true, tankId: true, clientId: true },
  })
  return visit ?? undefined
}

async function isHere({ tx, actor }: CommandContext, personId: string): Promise<boolean> {
  const found = await tx.person.count({
    where: { businessId: actor.businessId, id: personId, archivedAt: null, mergedIntoId: null },
  })
  return found > 0
}
