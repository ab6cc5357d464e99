import 'server-only'
import type { z } from 'zod'
import type { Actor } from '../frame/actor'
import { type CommandOptions, defineCommand } from '../frame/command'
import { done, invalid, type Result, refused } from '../frame/result'
import { recomputeDue } from '../lanes/commands'
import { correct } from './correct-commands'
import { arrive, leave, noAccess, note, photo, promise, promiseKept, startVisit } from './course-commands'
import { recordAllRunning, recordLooks, recordReport, recordSuspicion } from './look-commands'
import { recordLots } from './lot-commands'
import { recordDeviceReadings, recordLevels } from './measure-commands'
import { recordReadings } from './reading-commands'
import { type VisitCommand, type VisitCommandInput, visitCommandSchema } from './schema'
import { type Applied, afterTheEnd, openVisit, type VisitContext, type VisitReason } from './visit-context'
import { recordPart, recordSwitching, recordWork } from './work-commands'

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
      const over = afterTheEnd(opened.value, command.kind)
      if (over) return over
      const applied = await apply(opened.value, command)
      if (!applied.ok) return applied
      const touched = [...new Set(applied.value.touched.map(({ equipmentId }) => equipmentId))]
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

function apply(context: VisitContext, command: VisitCommand): Promise<Applied> {
  switch (command.kind) {
    case 'visit.start':
    case 'visit.arrive':
      return arrive(context)
    case 'visit.no-access':
      return noAccess(context, command)
    case 'visit.leave':
      return leave(context, command)
    case 'visit.suspect':
      return recordSuspicion(context, command)
    case 'visit.record-looks':
      return recordLooks(context, command.looks)
    case 'visit.all-running':
      return recordAllRunning(context, command)
    case 'visit.record-report':
      return recordReport(context, command)
    case 'visit.work':
      return recordWork(context, command)
    case 'visit.readings':
      return recordReadings(context, command)
    case 'visit.device-readings':
      return recordDeviceReadings(context, command)
    case 'visit.levels':
      return recordLevels(context, command)
    case 'visit.use-lots':
      return recordLots(context, command)
    case 'visit.switch-off':
    case 'visit.switch-on':
      return recordSwitching(context, command)
    case 'visit.use-part':
      return recordPart(context, command)
    case 'visit.note':
      return note(context, command)
    case 'visit.promise':
      return promise(context, command)
    case 'visit.promise-kept':
      return promiseKept(context, command)
    case 'visit.photo':
      return photo(context, command)
    case 'visit.correct':
      return correct(context, command)
  }
}
