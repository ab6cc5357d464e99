import 'server-only'
import { todayOf } from '../frame/business-day'
import { type CommandContext, defineCommand } from '../frame/command'
import { asDbDate } from '../frame/days'
import { done, invalid, type Result, refused } from '../frame/result'
import { firstDayOnRecord, whyNotThatDay } from './first-day'
import { correctRemedySchema, recordRemedySchema, takeBackRemedySchema } from './schema'

const CHANGED = refused('not-found', 'This remedy was changed meanwhile. Reload the page.')

/**
 * Writes down what was decided against a fault that keeps coming back and from when it acts; from then on the fault is watched. The remedy's
 * id is the command's. Remedies add up: an older one stays, and is judged by what came before the next.
 */
export const recordRemedy = defineCommand(
  { kind: 'fault.record-remedy', may: 'faults.change', schema: recordRemedySchema },
  async ({ tx, actor, commandId, madeAt }, input) => {
    const { businessId, personId } = actor
    const { tankId, equipmentClass, failureMode, remedy, effectiveOn } = input
    const pair = await tx.repeatFault.findUnique({
      where: {
        businessId_tankId_equipmentClass_failureMode: { businessId, tankId, equipmentClass, failureMode },
      },
    })
    if (!pair) return refused('not-found', 'This fault is not in the list any more. Reload the page.')
    const today = await todayOf({ tx, actor, madeAt })
    const problem = await problemWith(tx, businessId, { tankId, effectiveOn, today })
    if (problem) return invalid({ effectiveOn: [problem] })
    const row = { businessId, tankId, equipmentClass, failureMode, remedy, personId, commandId }
    await tx.faultRemedy.create({
      data: { ...row, id: commandId, effectiveOn: asDbDate(effectiveOn), decidedOn: asDbDate(today) },
    })
    return done({ remedyId: commandId })
  },
)

/** What should have been written: a further row takes the place of the newest; the first stays in the past. */
export const correctRemedy = defineCommand(
  { kind: 'fault.correct-remedy', may: 'faults.change', schema: correctRemedySchema },
  async (context, input) => {
    const { tx, actor } = context
    const { businessId } = actor
    const { remedy, effectiveOn } = input
    const today = await todayOf(context)
    const named = await tx.faultRemedy.findFirst({
      where: { businessId, id: input.remedyId },
      select: { tankId: true },
    })
    if (!named) return CHANGED
    const problem = await problemWith(tx, businessId, { tankId: named.tankId, effectiveOn, today })
    if (problem) return invalid({ effectiveOn: [problem] })
    return correctingRow(context, input.remedyId, { remedy, effectiveOn: asDbDate(effectiveOn) })
  },
)

/** A remedy that never was: a further row says so, and the watch ends. */
export const takeBackRemedy = defineCommand(
  { kind: 'fault.take-back-remedy', may: 'faults.change', schema: takeBackRemedySchema },
  (context, input) => correctingRow(context, input.remedyId, { isTakenBack: true }),
)

async function correctingRow(
  { tx, actor: { businessId, personId }, commandId }: CommandContext,
  remedyId: string,
  change: { remedy?: string; effectiveOn?: Date; isTakenBack?: boolean },
): Promise<Result<{ remedyId: string }, 'not-found'>> {
  const head = await tx.faultRemedy.findFirst({
    where: { businessId, id: remedyId, correctedBy: { is: null }, isTakenBack: false },
  })
  if (!head) return CHANGED
  const { createdAt: _, ...row } = head
  await tx.faultRemedy.create({
    data: { ...row, ...change, id: commandId, correctsId: head.id, commandId, personId },
  })
  return done({ remedyId: commandId })
}

async function problemWith(
  tx: CommandContext['tx'],
  businessId: string,
  { tankId, effectiveOn, today }: { tankId: string; effectiveOn: string; today: string },
): Promise<string | null> {
  const first = await firstDayOnRecord(tx, businessId, tankId)
  return whyNotThatDay(effectiveOn, { today, first, isRemedy: true })
}
