import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Actor } from '../actor'
import { asJson } from '../audited'
import { asDbDate, dayIn } from '../clients/days'
import { type CommandContext, runCommand } from '../command'
import { mayDo } from '../people/role-actions'
import { done, invalid, OTHER_BUSINESS, type Result, refused } from '../result'
import { firstDayOnRecord, whyNotThatDay } from './first-day'
import type { CorrectRemedyInput, RecordRemedyInput, TakeBackRemedyInput } from './schema'

export type RemedyReason = 'not-found' | 'already-so'
const CHANGED = refused('not-found', 'This remedy was changed meanwhile. Reload the page.')
type RemedyResult = Promise<Result<{ remedyId: string }, RemedyReason>>

/**
 * Writes down what was decided against a fault that keeps coming back and from when it acts; from then on the fault is watched. The remedy's
 * id is the command's. Remedies add up: an older one stays, and is judged by what came before the next.
 */
export function recordRemedy(actor: Actor, input: RecordRemedyInput): RemedyResult {
  return changeRemedies(actor, 'fault.record-remedy', input, async ({ tx, commandId, madeAt }) => {
    const { businessId, personId } = actor
    const { tankId, equipmentClass, failureMode, remedy, effectiveOn } = input
    const pair = await tx.repeatFault.findUnique({
      where: {
        businessId_tankId_equipmentClass_failureMode: { businessId, tankId, equipmentClass, failureMode },
      },
    })
    if (!pair) return refused('not-found', 'This fault is not in the list any more. Reload the page.')
    const today = await todayOf(tx, businessId, madeAt)
    const problem = await problemWith(tx, businessId, { tankId, effectiveOn, today })
    if (problem) return invalid({ effectiveOn: [problem] })
    const row = { businessId, tankId, equipmentClass, failureMode, remedy, personId, commandId }
    await tx.faultRemedy.create({
      data: { ...row, id: commandId, effectiveOn: asDbDate(effectiveOn), decidedOn: asDbDate(today) },
    })
    return done({ remedyId: commandId })
  })
}

/** What should have been written: a further row takes the place of the newest; the first stays in the past. */
export function correctRemedy(actor: Actor, input: CorrectRemedyInput): RemedyResult {
  return changeRemedies(actor, 'fault.correct-remedy', input, async (context) => {
    const { tx, madeAt } = context
    const { businessId } = actor
    const { remedy, effectiveOn } = input
    const today = await todayOf(tx, businessId, madeAt)
    const named = await tx.faultRemedy.findFirst({
      where: { businessId, id: input.remedyId },
      select: { tankId: true },
    })
    if (!named) return CHANGED
    const problem = await problemWith(tx, businessId, { tankId: named.tankId, effectiveOn, today })
    if (problem) return invalid({ effectiveOn: [problem] })
    return correctingRow(context, actor, input.remedyId, { remedy, effectiveOn: asDbDate(effectiveOn) })
  })
}

/** A remedy that never was: a further row says so, and the watch ends. */
export function takeBackRemedy(actor: Actor, input: TakeBackRemedyInput): RemedyResult {
  return changeRemedies(actor, 'fault.take-back-remedy', input, (context) =>
    correctingRow(context, actor, input.remedyId, { isTakenBack: true }),
  )
}

async function correctingRow(
  { tx, commandId }: CommandContext,
  { businessId, personId }: Actor,
  remedyId: string,
  change: { remedy?: string; effectiveOn?: Date; isTakenBack?: boolean },
): RemedyResult {
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

async function changeRemedies<Input extends { commandId: string; businessId: string }>(
  actor: Actor,
  kind: string,
  input: Input,
  apply: (context: CommandContext) => RemedyResult,
): RemedyResult {
  if (input.businessId !== actor.businessId) return OTHER_BUSINESS
  if (!mayDo(actor.roles, 'faults.change'))
    return { ok: false, reason: 'not-allowed', words: 'Only owner and technicians decide remedies.' }
  const payload: Prisma.InputJsonValue = asJson(input)
  return runCommand(actor, { id: input.commandId, kind, payload }, apply)
}

async function problemWith(
  tx: CommandContext['tx'],
  businessId: string,
  { tankId, effectiveOn, today }: { tankId: string; effectiveOn: string; today: string },
): Promise<string | null> {
  const first = await firstDayOnRecord(tx, businessId, tankId)
  return whyNotThatDay(effectiveOn, { today, first, isRemedy: true })
}

async function todayOf(tx: CommandContext['tx'], businessId: string, at: Date): Promise<string> {
  const { timeZone } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } })
  return dayIn(timeZone, at)
}
