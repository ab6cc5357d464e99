/**
 * From the commands of a visit to its record: the one piece of code that phone and server both show a visit with. Commands
 * may come in any order and more than once. Pure.
 */

import { readingRowId, renewalRowId } from '../frame/row-ids'
import { newestLevels, type RecordedLevel } from '../refills/newest-levels'
import { compareOrder, orderKey } from './canonical-order'
import { enteredWords } from './device-reading'
import { renewedDevice } from './looking'
import {
  inOrder,
  measureKey,
  type Pair,
  pairKey,
  type RecordedDeviceReading,
  type RecordedFinding,
  type VisitBase,
  type VisitRecord,
} from './record'
import type { CommandOf, Look, VisitCommand } from './schema'
import { currentNotes, type NoteSaid, type Switching, switchState } from './states'

/** Each command once, in canonical order, without those that were taken back. A taking back is not itself taken back. */
function inCanonicalOrder(commands: readonly VisitCommand[]): VisitCommand[] {
  const once = new Map(commands.map((command) => [command.id, command]))
  const takenBack = new Set(
    [...once.values()].flatMap((command) => (command.kind === 'visit.take-back' ? [command.takesBack] : [])),
  )
  return [...once.values()]
    .filter(({ id, kind }) => kind === 'visit.take-back' || !takenBack.has(id))
    .sort((a, b) => compareOrder(orderKey(a), orderKey(b)))
}

/**
 * The record of one visit from what an import left of it and its commands, whatever their order and however often each came.
 *
 * The newest look at a pair of device and failure mode counts. "All else seen running" gives an ok to the pairs it lists
 * that nobody looked at, suspected or reported in this visit, before or after the tap. Corrections of a row that is not
 * there are left out until it is.
 */
export function projectVisit(base: VisitBase, commands: readonly VisitCommand[]): VisitRecord {
  const record = recordOver(base)
  const findings = new Map(base.findings.map((finding) => [pairKey(finding), finding]))
  const credits = new Map<string, RecordedFinding>()
  const notes: NoteSaid[] = []
  const switching: Switching[] = []
  const corrections: CommandOf<'visit.correct'>[] = []
  const measured = new Map<string, RecordedDeviceReading>()
  const levels: RecordedLevel[] = []
  const arrivals: VisitCommand[] = []
  for (const command of inCanonicalOrder(commands)) {
    const { id } = command
    const look = (made: Look) => findings.set(pairKey(made), { ...made, fromTap: false, by: id })
    switch (command.kind) {
      case 'visit.start':
      case 'visit.arrive':
        arrivals.push(command)
        break
      case 'visit.no-access':
        end(record, command, 'no_access', command.minutes, command.reason)
        record.leavingCheckDone = []
        break
      case 'visit.leave':
        end(record, command, command.outcome, command.minutes, command.leftEarlyReason)
        record.leavingCheckDone = [...new Set(command.leavingCheckDone)]
        break
      case 'visit.suspect':
        record.suspicions.push({ id, ...pairOf(command), words: command.words })
        break
      case 'visit.record-looks':
        for (const made of command.looks) look(made)
        break
      case 'visit.all-running':
        for (const pair of command.pairs) credits.set(pairKey(pair), { ...creditOf(pair), by: id })
        break
      case 'visit.record-report': {
        const { asFound, reportedOn, sure, words } = command
        record.reports.push({ id, ...pairOf(command), asFound, reportedOn, sure, words })
        break
      }
      case 'visit.work': {
        const { equipmentId, task, partial } = command
        for (const made of command.looks) look(made)
        record.work.push({ id, equipmentId, task, partial })
        for (const { mode, reason } of command.renewals)
          record.renewals.push({
            id: renewalRowId(id, mode),
            ...renewedDevice(command),
            mode,
            task,
            reason,
            partial,
            by: id,
          })
        break
      }
      case 'visit.find-cause': {
        const { sign, equipmentId, cause, ruledOut } = command
        record.cases.push({ id, sign, equipmentId, cause, ruledOut })
        break
      }
      case 'visit.readings':
        for (const [place, reading] of command.readings.entries())
          record.readings.push({ id: readingRowId(id, place), ...reading, by: id })
        break
      case 'visit.water-change': {
        const { amount, unit, newSalinity, newSalinityUnit, newTemperatureC } = command
        record.waterChanges.push({ id, amount, unit, newSalinity, newSalinityUnit, newTemperatureC })
        break
      }
      case 'visit.device-readings':
        for (const { equipmentId, quantity, enteredUnit, ...typed } of command.readings)
          measured.set(measureKey({ equipmentId, quantity }), {
            ...{ equipmentId, quantity, enteredValue: enteredWords(typed), enteredUnit },
          })
        break
      case 'visit.levels':
        levels.push(...command.levels)
        break
      case 'visit.use-lots':
        record.lots = [...new Set([...record.lots, ...command.lotIds])]
        break
      case 'visit.switch-off':
      case 'visit.switch-on':
        switching.push({ on: command.kind === 'visit.switch-on', devices: command.devices })
        break
      case 'visit.use-part': {
        const { priceItemId, partId = null, description, quantity, billable } = command
        record.parts.push({ id, priceItemId, partId, description, quantity, billable, by: id })
        break
      }
      case 'visit.note':
        notes.push(command)
        break
      case 'visit.promise':
        record.promises.push({ id, what: command.what, dueOn: command.dueOn })
        break
      case 'visit.promise-kept':
      case 'visit.take-back':
        break
      case 'visit.photo':
        record.photos.push({ id, caption: command.caption, forClient: command.forClient })
        break
      case 'visit.correct':
        if (command.correction.of === 'finding') look(command.correction.look)
        else corrections.push(command)
        break
    }
  }
  for (const command of corrections) correct(record, command)
  // The first arrival counts; what was brought says it only where nobody said it here.
  if (arrivals[0]) record.arrivedAt = instantOf(arrivals[0])
  const doubted = new Set([...record.suspicions, ...record.reports].map(pairKey))
  for (const [key, credit] of credits) if (!findings.has(key) && !doubted.has(key)) findings.set(key, credit)
  return inOrder({
    ...{ ...record, ...switchState(switching), ...currentNotes(notes), findings: [...findings.values()] },
    deviceReadings: [...measured.values()],
    levels: newestLevels(levels),
  })
}

/** The look that "all else seen running" says of a pair. */
export function creditOf({ equipmentId, mode }: Pair): Omit<RecordedFinding, 'by'> {
  const plain = { symptom: '', cause: '', remedy: '', asLeft: '', cureConfidence: null }
  return { equipmentId, mode, asFound: 'ok', depth: 'running', ...plain, fromTap: true }
}

function recordOver(base: VisitBase): VisitRecord {
  const { findings: _, ...brought } = base
  const copied = <Row extends object>(rows: readonly Row[]) => rows.map((row) => ({ ...row }))
  const { reports, renewals, readings, parts } = brought
  return {
    ...brought,
    ...{ reports: copied(reports), renewals: copied(renewals), readings: copied(readings), parts: copied(parts) },
    ...{
      suspicions: [],
      findings: [],
      cases: [],
      work: [],
      deviceReadings: [],
      levels: [],
      lots: [],
      promises: [],
      photos: [],
    },
    ...{ waterChanges: [], switchedOff: [], switchedOn: [], leavingCheckDone: [], notesForClient: [], notesForUs: [] },
  }
}

const pairOf = ({ equipmentId, mode }: Pair): Pair => ({ equipmentId, mode })
const instantOf = (command: VisitCommand) => new Date(orderKey(command).at).toISOString()

function end(
  record: VisitRecord,
  command: VisitCommand,
  outcome: NonNullable<VisitRecord['outcome']>,
  minutes: number | null,
  reason: string,
) {
  Object.assign(record, { leftAt: instantOf(command), outcome, minutes, reason })
}

/** Changes the row that a correction names; in canonical order, so that the newest correction is the one that stays. */
function correct(record: VisitRecord, { id: by, correction }: CommandOf<'visit.correct'>) {
  if (correction.of === 'finding') return
  const { of, targetId, ...values } = correction
  const rows: { id: string }[] = of === 'reading' ? record.readings : of === 'renewal' ? record.renewals : record.parts
  const row = rows.find(({ id }) => id === targetId)
  if (row) Object.assign(row, values, { by })
}
