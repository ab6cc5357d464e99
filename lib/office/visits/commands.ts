import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Actor } from '../actor'
import { runCommand } from '../command'
import { mayDo } from '../people/role-actions'
import { done, OTHER_BUSINESS, type Result, refused } from '../result'
import { lanesTouched } from './after-visit'
import { correct } from './correct-commands'
import { arrive, leave, noAccess, note, photo, promise, promiseKept, startVisit } from './course-commands'
import { recordAllRunning, recordLooks, recordReport, recordSuspicion } from './look-commands'
import { recordLots } from './lot-commands'
import { recordDeviceReadings, recordLevels } from './measure-commands'
import { recordReadings } from './reading-commands'
import { pairKey } from './record'
import { type VisitCommand, type VisitCommandInput, visitCommandSchema } from './schema'
import { type Applied, afterTheEnd, openVisit, type VisitContext, type VisitReason } from './visit-context'
import { recordPart, recordSwitching, recordWork } from './work-commands'

export type { VisitReason } from './visit-context'

/** A device whose clock runs further ahead than this would date its work to another day. */
const MOST_AHEAD_MS = 24 * 60 * 60 * 1000

export type VisitCommandOptions = {
  /** A phone's refused command is kept and shown. */
  keepRefused?: boolean
  /** `later`: whoever sends thousands at once makes all lanes again at the end. */
  derive?: 'at-once' | 'later'
}

/**
 * Applies one command of a visit, once, for somebody who may log visits in their own business. The same command again, also
 * at the same time, changes nothing. Commands that come out of order end in the record that `projectVisit` gives.
 * Refusals are in words; a phone's refused command is kept (`keepRefused`).
 */
export async function applyVisitCommand(
  actor: Actor,
  input: VisitCommandInput,
  options: VisitCommandOptions = {},
): Promise<Result<{ visitId: string }, VisitReason>> {
  const parsed = visitCommandSchema.safeParse(input)
  if (!parsed.success) return { ok: false, reason: 'invalid', fields: fieldsOf(parsed.error.issues) }
  const command = parsed.data
  if (command.businessId !== actor.businessId) return OTHER_BUSINESS
  if (!mayDo(actor.roles, 'visit.log'))
    return { ok: false, reason: 'not-allowed', words: 'Only owner and technicians log visits.' }
  const { id, kind, version, deviceId, deviceSeq, clockOffsetMs } = command
  const envelope = { id, kind, version, deviceId, deviceSeq, clockOffsetMs, madeAt: new Date(command.madeAt) }
  const keepRefused = options.keepRefused ?? false
  return runCommand(actor, { ...envelope, payload: payloadOf(command), keepRefused }, async (context) => {
    if (context.madeAt.getTime() > Date.now() + MOST_AHEAD_MS)
      return refused('clock', 'The clock of this device is ahead by more than a day. Set it right and try again.')
    if (command.kind === 'visit.start') {
      const started = await startVisit(context, actor, command)
      if (!started.ok) return started
    }
    const opened = await openVisit(context, actor, command)
    if (!opened.ok) return opened
    const over = afterTheEnd(opened.value, kind)
    if (over) return over
    const applied = await apply(opened.value, command)
    if (!applied.ok) return applied
    const touched = new Map(applied.value.touched.map((pair) => [pairKey(pair), pair]))
    if (touched.size > 0 && options.derive !== 'later')
      await lanesTouched(context.tx, actor.businessId, [...touched.values()])
    return done({ visitId: command.visitId })
  })
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

/** What the log keeps: everything but the envelope, which has columns of its own. */
function payloadOf(command: VisitCommand): Prisma.InputJsonObject {
  const { id: _, businessId, kind, version, madeAt, clockOffsetMs, deviceId, deviceSeq, ...payload } = command
  return payload
}

/** Messages by the last field they name, for forms of one command. */
function fieldsOf(issues: readonly { path: PropertyKey[]; message: string }[]): Record<string, string[]> {
  const fields: Record<string, string[]> = {}
  for (const { path, message } of issues) {
    const name = String(path.findLast((part) => typeof part === 'string') ?? 'form')
    fields[name] = [...(fields[name] ?? []), message]
  }
  return fields
}
