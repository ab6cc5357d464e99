import 'server-only'
import { z } from 'zod'
import type { Transaction } from '@/lib/platform/db/scope'
import type { Actor } from '../frame/actor'
import { applyTogether } from '../frame/apply-together'
import { type CommandOptions, defineCommand } from '../frame/command'
import { type CommandContext, contextOf } from '../frame/command-context'
import { dayIn } from '../frame/days'
import { done, invalid, problemsByField, type Result, refused } from '../frame/result'
import { recomputeDue } from '../lanes/commands'
import { orderKey } from './canonical-order'
import { checkCorrection, checkPart, checkReadings, checkTakeBack, checkWaterChange } from './check-figures'
import { checkAllRunning, checkCause, checkReport, checkWork } from './check-looks'
import { checkLeaving, checkPromise, keepLeftEarly, keepPromised, promiseKept, startVisit } from './course-commands'
import { exchange } from './exchange-device'
import { exchangesDevice } from './looking'
import { recordLots } from './lot-commands'
import { recordDeviceReadings, recordLevels } from './measure-commands'
import { projectVisit } from './projection'
import { baseOf } from './read-record'
import type { Pair, VisitRecord } from './record'
import { type VisitCommand, type VisitCommandInput, visitCommandSchema } from './schema'
import {
  afterTheEnd,
  misfit,
  openVisit,
  type Refusal,
  readDevices,
  sectionsOf,
  type VisitContext,
  type VisitReason,
  writeEvent,
} from './visit-context'
import { writeRecord } from './write-record'

export type { VisitReason } from './visit-context'

/** A device whose clock runs further ahead than this would date its work to another day. */
const MOST_AHEAD_MS = 24 * 60 * 60 * 1000

const CLOCK_AHEAD = refused(
  'clock',
  'The clock of this device is ahead by more than a day. Set it right and try again.',
)

/** Every kind of visit command, each by its own schema. */
export const visitCommands = visitCommandSchema.options.map((schema) =>
  defineCommand(
    { kind: schema.shape.kind.value, may: 'visit.log', schema: schema as z.ZodType<VisitCommand> },
    async (context, command) => {
      if (isAhead(context.madeAt)) return CLOCK_AHEAD
      if (command.kind === 'visit.start') {
        const started = await startVisit(context, command)
        if (!started.ok) return started
      }
      const opened = await openVisit(context, { visitId: command.visitId, kinds: [command.kind] })
      if (!opened.ok) return opened
      const told = await tell(opened.value, command)
      if ('ok' in told) return told
      await conclude(opened.value, [command.kind], told.touched)
      return done({ visitId: command.visitId })
    },
  ),
)
const byKind = new Map(visitCommands.map((command) => [command.kind, command]))

/**
 * Applies one command of a visit, once, for somebody who may log visits in their own business. The same command again, also
 * at the same time, changes nothing. Commands that come out of order end in the record that `projectVisit` gives.
 * Refusals are in words; a phone's refused command is kept (`keepRefused`).
 */
export async function applyVisitCommand(
  actor: Actor,
  input: VisitCommandInput,
  options: CommandOptions = {},
): Promise<Result<{ visitId: string }, VisitReason>> {
  const command = byKind.get(input?.kind)
  if (!command) return invalid({ kind: ['This page is older than the program. Reload it.'] })
  // What is left out is filled in by the schema.
  return command(actor, input as VisitCommand, options)
}

/** The most that is applied at once: a whole visit, and some more. */
const TOGETHER_MOST = 200

/**
 * Applies what somebody says of one visit, in the order in which they said it: together in one transaction where that goes, else one by one. The answers
 * are those of `applyVisitCommand`, in the same order.
 */
export async function applyVisitCommands(
  actor: Actor,
  inputs: readonly VisitCommandInput[],
  options: CommandOptions = {},
): Promise<Result<{ visitId: string }, VisitReason>[]> {
  const parsed = inputs.flatMap((input) => visitCommandSchema.safeParse(input).data ?? [])
  const visitIds = [...new Set(parsed.map(({ visitId }) => visitId))]
  const [visitId] = visitIds
  const [first, ...rest] = inputs
  if (first?.kind === 'visit.start' && rest.length > 0) {
    const started = await applyVisitCommand(actor, first, options)
    return [started, ...(await applyVisitCommands(actor, rest, options))]
  }
  const fits = parsed.length === inputs.length && inputs.length > 1 && inputs.length <= TOGETHER_MOST
  if (fits && visitIds.length === 1 && visitId) {
    const { derive = 'at-once' } = options
    const sent = parsed.map((input, place) => ({ kind: input.kind, input, sent: inputs[place] }))
    const answer = await applyTogether(actor, 'visit.log', sent, (tx) => tellAll(tx, actor, parsed, derive))
    if (answer?.ok) return inputs.map(() => done({ visitId }))
  }
  const answers = []
  for (const input of inputs) answers.push(await applyVisitCommand(actor, input, options))
  return answers
}

/**
 * The same for commands that only make sense together, as one form says them: all of them are applied, or none and the answer is the first refusal. They must
 * be of one visit that is begun already. Sent again they change nothing.
 */
export async function applyWholeOfVisit(
  actor: Actor,
  inputs: readonly VisitCommandInput[],
): Promise<Result<{ visitId: string }, VisitReason>> {
  const parsed = z.array(visitCommandSchema).min(1).safeParse(inputs)
  if (!parsed.success) return invalid(problemsByField(parsed.error))
  const sent = parsed.data.map((input, place) => ({ kind: input.kind, input, sent: inputs[place] }))
  const answer = await applyTogether(actor, 'visit.log', sent, (tx) => tellAll(tx, actor, parsed.data, 'at-once'))
  // The refusals of visits are the only ones that `tellAll` gives.
  if (answer !== null) return answer as Result<{ visitId: string }, VisitReason>
  const answers = await applyVisitCommands(actor, inputs)
  return answers.find(({ ok }) => !ok) ?? answers[0] ?? invalid({})
}

/** Several commands of one visit, one after the other; what they change together is written once. The first refusal, where there is one. */
async function tellAll(
  tx: Transaction,
  actor: Actor,
  commands: readonly VisitCommand[],
  derive: CommandContext['derive'],
): Promise<{ ok: true; value: { visitId: string } } | NonNullable<Refusal>> {
  const [first] = commands
  if (!first || commands.some((command) => isAhead(instantOf(command)))) return CLOCK_AHEAD
  const contextFor = (command: VisitCommand) =>
    contextOf({ tx, actor, commandId: command.id, madeAt: instantOf(command), deviceSeq: command.deviceSeq, derive })
  const kinds = commands.map(({ kind }) => kind)
  const opened = await openVisit(contextFor(first), { visitId: first.visitId, kinds })
  if (!opened.ok) return opened
  const { visit: row, rows } = opened.value
  const recordAfter = (said: readonly VisitCommand[]) => projectVisit(baseOf({ ...row, ...rows }, said), said)
  const own = new Set(commands.map(({ id }) => id))
  let said: readonly VisitCommand[] = opened.value.said.filter(({ id }) => !own.has(id))
  let record = recordAfter(said)
  let { devices } = opened.value
  const pairs: Pair[] = []
  for (const command of commands) {
    const visit = { ...row, ...standing(record, row) }
    said = [...said, command]
    record = recordAfter(said)
    const context = contextFor(command)
    const day = dayIn(row.timeZone, context.madeAt)
    const told = await tell({ ...opened.value, ...context, day, visit, said, record, devices }, command)
    if ('ok' in told) return told
    pairs.push(...told.touched)
    if (command.kind === 'visit.work' && exchangesDevice(command)) devices = await readDevices(context, row.tankId)
  }
  await conclude({ ...opened.value, record, devices }, kinds, pairs)
  return done({ visitId: first.visitId })
}

/** How the visit's row would stand by a record. */
function standing({ arrivedAt, leftAt }: VisitRecord, { state }: VisitContext['visit']) {
  const at = (instant: string | null) => (instant === null ? null : new Date(instant))
  const now = leftAt !== null ? 'done' : arrivedAt !== null ? 'under_way' : state
  return { state: now, arrivedAt: at(arrivedAt), leftAt: at(leftAt) }
}

const instantOf = (command: VisitCommand) => new Date(orderKey(command).at)
const isAhead = (madeAt: Date) => madeAt.getTime() > Date.now() + MOST_AHEAD_MS

/** Checks one thing that is said, and does what it does beside the record. */
async function tell(visit: VisitContext, command: VisitCommand): Promise<NonNullable<Refusal> | { touched: Pair[] }> {
  const refusal = afterTheEnd(visit, command.kind) ?? (await check(visit, command))
  return refusal ?? (await writeBeside(visit, command)) ?? { touched: [] }
}

/** Brings the rows in line with the record, and what follows from them. */
async function conclude(visit: VisitContext, kinds: readonly VisitCommand['kind'][], touched: Pair[]): Promise<void> {
  const { tx, actor, derive } = visit
  const pairs = [...touched, ...(await writeRecord(visit, sectionsOf(kinds)))]
  const equipmentIds = [...new Set(pairs.map(({ equipmentId }) => equipmentId))]
  if (equipmentIds.length > 0 && derive === 'at-once') await recomputeDue(tx, actor.businessId, equipmentIds)
}

/** What of it cannot be: a refusal in words, or null. What is only odd is taken, and shows in the record. */
function check(visit: VisitContext, command: VisitCommand): Refusal | Promise<Refusal> {
  switch (command.kind) {
    case 'visit.suspect':
      return misfit(visit, [command])
    case 'visit.record-looks':
      return misfit(visit, command.looks)
    case 'visit.all-running':
      return checkAllRunning(visit, command)
    case 'visit.record-report':
      return checkReport(visit, command)
    case 'visit.find-cause':
      return checkCause(visit, command)
    case 'visit.work':
      return checkWork(visit, command)
    case 'visit.readings':
      return checkReadings(command)
    case 'visit.water-change':
      return checkWaterChange(visit, command)
    case 'visit.use-part':
      return checkPart(visit, command)
    case 'visit.promise':
      return checkPromise(visit, command)
    case 'visit.leave':
      return checkLeaving(visit, command)
    case 'visit.correct':
      return checkCorrection(visit, command)
    case 'visit.take-back':
      return checkTakeBack(visit, command)
    default:
      return null
  }
}

/** Rows that are no part of the record, or that the office can change too: each is said once, by this command. */
async function writeBeside(visit: VisitContext, command: VisitCommand): Promise<Refusal | { touched: Pair[] }> {
  switch (command.kind) {
    case 'visit.work':
      return exchangesDevice(command) ? exchange(visit, command) : null
    case 'visit.device-readings':
      return recordDeviceReadings(visit, command)
    case 'visit.levels':
      return recordLevels(visit, command)
    case 'visit.use-lots':
      return recordLots(visit, command)
    case 'visit.promise-kept':
      return promiseKept(visit, command)
    case 'visit.promise':
      await keepPromised(visit, command)
      return null
    case 'visit.leave':
      await keepLeftEarly(visit, command)
      return null
    case 'visit.switch-off':
    case 'visit.switch-on': {
      const { devices } = command
      await writeEvent(visit, command.kind === 'visit.switch-off' ? 'switched-off' : 'switched-on', { devices })
      return null
    }
    case 'visit.photo': {
      const { caption, forClient, takenAt } = command
      await writeEvent(visit, 'photo', { caption, forClient, takenAt })
      return null
    }
    case 'visit.take-back':
      await writeEvent(visit, 'taken-back', { takesBack: command.takesBack })
      return null
    default:
      return null
  }
}
