import 'server-only'
import type { z } from 'zod'
import type { Actor } from '../frame/actor'
import { type CommandOptions, defineCommand } from '../frame/command'
import { done, invalid, type Result, refused } from '../frame/result'
import { recomputeDue } from '../lanes/commands'
import { checkCorrection, checkPart, checkReadings, checkTakeBack } from './check-figures'
import { checkAllRunning, checkReport, checkWork } from './check-looks'
import { checkLeaving, checkPromise, keepLeftEarly, keepPromised, promiseKept, startVisit } from './course-commands'
import { exchange } from './exchange-device'
import { exchangesDevice } from './looking'
import { recordLots } from './lot-commands'
import { recordDeviceReadings, recordLevels } from './measure-commands'
import type { Pair } from './record'
import { type VisitCommand, type VisitCommandInput, visitCommandSchema } from './schema'
import {
  afterTheEnd,
  misfit,
  openVisit,
  type Refusal,
  SECTIONS,
  type VisitContext,
  type VisitReason,
  writeEvent,
} from './visit-context'
import { writeRecord } from './write-record'

export type { VisitReason } from './visit-context'

/** A device whose clock runs further ahead than this would date its work to another day. */
const MOST_AHEAD_MS = 24 * 60 * 60 * 1000

/** Every kind of visit command, each by its own schema. */
export const visitCommands = visitCommandSchema.options.map((schema) =>
  defineCommand(
    { kind: schema.shape.kind.value, may: 'visit.log', schema: schema as z.ZodType<VisitCommand> },
    async (context, command) => {
      if (context.madeAt.getTime() > Date.now() + MOST_AHEAD_MS)
        return refused('clock', 'The clock of this device is ahead by more than a day. Set it right and try again.')
      if (command.kind === 'visit.start') {
        const started = await startVisit(context, command)
        if (!started.ok) return started
      }
      const opened = await openVisit(context, command)
      if (!opened.ok) return opened
      const visit = opened.value
      const refusal = afterTheEnd(visit, command.kind) ?? (await check(visit, command))
      if (refusal) return refusal
      const beside = await writeBeside(visit, command)
      if (beside && 'ok' in beside) return beside
      const pairs = [...(beside?.touched ?? []), ...(await writeRecord(visit, SECTIONS[command.kind] ?? []))]
      const touched = [...new Set(pairs.map(({ equipmentId }) => equipmentId))]
      if (touched.length > 0 && context.derive === 'at-once')
        await recomputeDue(context.tx, context.actor.businessId, touched)
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
    case 'visit.work':
      return checkWork(visit, command)
    case 'visit.readings':
      return checkReadings(command)
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
