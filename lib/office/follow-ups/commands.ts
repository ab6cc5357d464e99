import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Actor } from '../actor'
import { asDay, asDbDate } from '../clients/days'
import { type CommandContext, runCommand, writeAudit } from '../command'
import { mayDo } from '../people/role-actions'
import { done, invalid, OTHER_BUSINESS, type Result, refused } from '../result'
import type { DoneFollowUpInput, PromiseFollowUpInput } from './schema'

export type FollowUpReason = 'not-found' | 'already-done'
type FollowUpResult = Promise<Result<{ followUpId: string }, FollowUpReason>>

/** Writes down a promise: what, for which tank, by which day, by whom. The follow-up's id is the command's. */
export function promiseFollowUp(actor: Actor, input: PromiseFollowUpInput): FollowUpResult {
  return changeFollowUps(actor, 'follow-up.promise', input, async (context) => {
    const { tx, commandId } = context
    const { businessId } = actor
    const { tankId, what, dueOn } = input
    const visit = input.visitId === '' ? null : await findVisit(context, actor, input.visitId)
    if (visit === undefined || (visit && visit.tankId !== tankId))
      return refused('not-found', 'This visit is not here any more. Reload the page.')
    const tank = await tx.tank.findFirst({ where: { businessId, id: tankId, mergedIntoId: null } })
    if (!tank) return invalid({ tankId: ['This tank is not in the register any more. Choose another.'] })
    const personId = input.personId === '' ? null : input.personId
    if (personId !== null && !(await isHere(context, actor, personId)))
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
    await audit(context, actor, 'promise', commandId, { what, dueOn, personId })
    return done({ followUpId: commandId })
  })
}

/** Says that a promise is kept, by whom and when. A second time is refused: the first word stands. */
export function doneFollowUp(actor: Actor, input: DoneFollowUpInput): FollowUpResult {
  return changeFollowUps(actor, 'follow-up.done', input, async (context) => {
    const { tx, madeAt } = context
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
    await audit(context, actor, 'done', followUpId, { note })
    return done({ followUpId })
  })
}

async function changeFollowUps<Input extends { commandId: string; businessId: string } & Prisma.InputJsonObject>(
  actor: Actor,
  kind: string,
  input: Input,
  apply: (context: CommandContext) => FollowUpResult,
): FollowUpResult {
  if (input.businessId !== actor.businessId) return OTHER_BUSINESS
  // Technicians promise things on their visits, and keep them.
  if (!mayDo(actor.roles, 'visit.log'))
    return { ok: false, reason: 'not-allowed', words: 'Only the owner and technicians look after promises.' }
  return runCommand(actor, { id: input.commandId, kind, payload: input }, apply)
}

async function findVisit({ tx }: CommandContext, actor: Actor, visitId: string) {
  const visit = await tx.visit.findUnique({
    where: { businessId_id: { businessId: actor.businessId, id: visitId } },
    select: { id: true, tankId: true, clientId: true },
  })
  return visit ?? undefined
}

async function isHere({ tx }: CommandContext, actor: Actor, personId: string): Promise<boolean> {
  const found = await tx.person.count({
    where: { businessId: actor.businessId, id: personId, archivedAt: null, mergedIntoId: null },
  })
  return found > 0
}

function audit(context: CommandContext, actor: Actor, action: string, entityId: string, after: Prisma.InputJsonObject) {
  return writeAudit(context, actor, { id: context.commandId, action, entity: 'follow_up', entityId, after })
}
