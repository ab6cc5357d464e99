import 'server-only'
import { Prisma } from '@/generated/prisma/client'
import { newId } from '@/lib/new-id'
import { findMode, findTask } from '@/lib/trade'
import { todayOf } from '../frame/business-day'
import { defineCommand } from '../frame/command'
import { asDbDate } from '../frame/days'
import { done, invalid, refused } from '../frame/result'
import { recomputeDue, recomputeDueAtTanks } from '../lanes/commands'
import { storedProposalSchema } from '../lanes/stored-reason'
import { amountTextToMinor } from '../money/currency'
import { clientCostSchema, decideSchema, setIntervalSchema } from './schema'

const DAYS_PER_WEEK = 7

/**
 * The owner takes or declines a proposed interval at some devices. What was proposed must still be proposed: where new visits have
 * changed the answer meanwhile nothing is taken and the words say so. The due dates follow at once.
 */
export const decideInterval = defineCommand(
  { kind: 'interval.decide', may: 'due.change', schema: decideSchema },
  async (context, input) => {
    const { actor } = context
    const { businessId } = actor
    const { commandId, careTask, decision, equipmentIds } = input
    const items = await context.tx.dueItem.findMany({
      where: { businessId, careTask, equipmentId: { in: equipmentIds }, proposal: { not: Prisma.DbNull } },
      orderBy: { equipmentId: 'asc' },
    })
    const standing = items.flatMap((item) => {
      const proposal = storedProposalSchema.parse(item.proposal)
      const same = proposal.intervalDays === input.intervalDays && proposal.formerDays === input.formerDays
      return same ? [{ item, proposal }] : []
    })
    if (standing.length !== new Set(equipmentIds).size)
      return refused(
        'changed',
        'New records have changed what is proposed at some of these tanks. Look again, then decide.',
      )
    const decidedOn = asDbDate(await todayOf(context))
    await context.tx.intervalChoice.createMany({
      data: standing.map(({ item, proposal }) => ({
        ...{ businessId, id: newId(), equipmentId: item.equipmentId, careTask, decision, decidedOn, commandId },
        failureMode: item.failureMode,
        intervalDays: proposal.intervalDays,
        formerDays: proposal.formerDays,
        modelVersion: item.modelVersion,
        savingMinor: Math.round(proposal.saving.mean),
        savingLowerMinor: Math.round(proposal.saving.lower),
        savingUpperMinor: Math.round(proposal.saving.upper),
        personId: actor.personId,
      })),
    })
    await recomputeDue(context.tx, businessId, equipmentIds)
    await context.audit('interval_choice', commandId, decision, undefined, { ...input })
    return done({ devices: standing.length })
  },
)

/** The owner sets an interval of their own for one task on one device. An age limit stays what it is. */
export const setInterval = defineCommand(
  { kind: 'interval.set', may: 'due.change', schema: setIntervalSchema },
  async (context, input) => {
    const { actor } = context
    const { businessId } = actor
    const { commandId, equipmentId, careTask, weeks } = input
    const item = await context.tx.dueItem.findUnique({
      where: { businessId_equipmentId_careTask: { businessId, equipmentId, careTask } },
    })
    if (!item) return refused('not-found', 'This task is not due on this device any more. Reload the page.')
    const intervalDays = weeks === '' ? null : Number(weeks) * DAYS_PER_WEEK
    const limitWeeks = ageLimitWeeksOf(careTask, item.failureMode)
    if (limitWeeks < Number.POSITIVE_INFINITY && (intervalDays === null || intervalDays > limitWeeks * DAYS_PER_WEEK))
      return invalid({
        weeks: [
          `At most ${limitWeeks} weeks: it is replaced at that age whatever its condition, because a failure can kill.`,
        ],
      })
    await context.tx.intervalChoice.create({
      data: {
        ...{ businessId, id: commandId, equipmentId, careTask, decision: 'accepted', intervalDays, commandId },
        formerDays: item.intervalDays,
        decidedOn: asDbDate(await todayOf(context)),
        modelVersion: item.modelVersion,
        personId: actor.personId,
      },
    })
    await recomputeDue(context.tx, businessId, [equipmentId])
    await context.audit('interval_choice', commandId, 'set', { intervalDays: item.intervalDays }, { intervalDays })
    return done({ equipmentId })
  },
)

/** States what a need costs more at one client. The dates of their tanks are worked out again. */
export const setClientCost = defineCommand(
  { kind: 'client.cost', may: 'due.change', schema: clientCostSchema },
  async (context, input) => {
    const { actor } = context
    const { businessId } = actor
    const { commandId, clientId } = input
    const client = await context.tx.client.findUnique({
      where: { businessId_id: { businessId, id: clientId } },
      select: { business: { select: { currency: true } }, tanks: { select: { id: true } } },
    })
    if (!client) return refused('not-found', 'This client is not in the register any more. Reload the page.')
    const read = (text: string) => (text === '' ? 0 : amountTextToMinor(text, client.business.currency))
    const amounts = {
      travel: read(input.travel),
      goodwill: read(input.goodwill),
      animalsPerDay: read(input.animalsPerDay),
    }
    const wrong = Object.entries(amounts).filter(([, minor]) => minor === null || minor < 0 || minor > 1_000_000_000)
    if (wrong.length > 0)
      return invalid(
        Object.fromEntries(
          wrong.map(([name]) => [name, [`Write an amount in ${client.business.currency}, like 45 or 45.50.`]]),
        ),
      )
    const after = {
      travelMinor: amounts.travel ?? 0,
      goodwillMinor: amounts.goodwill ?? 0,
      animalsPerDayMinor: amounts.animalsPerDay ?? 0,
    }
    await context.tx.clientCost.create({
      data: { ...{ businessId, id: commandId, clientId, commandId }, ...after, madeAt: context.madeAt },
    })
    await recomputeDueAtTanks(
      context.tx,
      businessId,
      client.tanks.map((tank) => tank.id),
    )
    await context.audit('client_cost', commandId, 'set', undefined, { clientId, ...after })
    return done({ clientId })
  },
)

/** The shortest age limit among all that the work renews, the fault that is due now included; Infinity where there is none. */
function ageLimitWeeksOf(careTask: string, failureMode: string): number {
  const modes = [failureMode, ...(findTask(careTask)?.renews ?? [])]
  return Math.min(...modes.map((mode) => findMode(mode)?.ageLimitWeeks ?? Number.POSITIVE_INFINITY))
}
