import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import {
  type FaultCause,
  type FaultFamily,
  findFamily,
  findMode,
  findTask,
  type SwitchedSlug,
  switchedClasses,
} from '@/lib/trade'
import { type Actor, inBusiness } from '../frame/actor'
import { done, type FieldProblems, invalid, type Result, refused } from '../frame/result'
import { rowId } from '../frame/row-ids'
import { applyWholeOfVisit, type VisitReason } from '../visits/commands'
import { renewalsFor } from '../visits/looking'
import type { Look, VisitCommandInput } from '../visits/schema'
import { learntFrom, readiedIn } from './projection'
import { devicesOfCause } from './queries'
import type { FoundCause, Move } from './schema'

/** What a search answers: where it goes on, where the cause is a sign of its own. */
type Written = Result<{ visitId: string; leadsTo: string }, VisitReason>

/**
 * Writes the end of a search down, each thing once: what stood still for it, the cause as a case, how the device was found and what was done to it, a
 * note where no device is behind it, and what was promised where it stays open. All of it or nothing; sent again it changes nothing.
 */
export async function writeFoundCause(actor: Actor, found: FoundCause): Promise<Written> {
  const { visitId, sign, cause } = found
  const family = findFamily(sign)
  const of = family?.causes.find(({ slug }) => slug === cause)
  if (!family || !of) return refused('does-not-fit', 'This cause does not belong to that sign. Reload the page.')
  const devices = await inBusiness(actor, (tx) => devicesAt(tx, actor.businessId, visitId))
  if (!devices) return refused('not-found', 'This visit is not there any more. Go back to the route.')
  const here = devicesOfCause(devices, of.mode, found.atDeviceId || found.equipmentId)
  const [device] = here
  const missing = whatIsMissing(found, of, here.length)
  if (missing) return invalid(missing)
  const off = switchedOffIn(family, found.moves).filter((slug) =>
    devices.some(({ equipmentClass }) => switchedClasses(slug).includes(equipmentClass)),
  )
  const case_ = { kind: 'visit.find-cause' as const, sign, cause, ...learntFrom(found.moves) }
  const equipmentId = device?.id ?? (found.equipmentId || null)
  const said: [part: string, said: Said][] = [
    ...(off.length > 0 ? [['off', { kind: 'visit.switch-off', devices: off }] satisfies [string, Said]] : []),
    ['', { ...case_, equipmentId }],
    ...(of.last || !found.putRight ? [] : [whatWasDone(found, family.sign, of, device?.id)]),
    ...(found.followUp === ''
      ? []
      : [
          ['follow-up', { kind: 'visit.promise', what: found.followUp, dueOn: found.followUpOn }] satisfies [
            string,
            Said,
          ],
        ]),
  ]
  const madeAt = new Date().toISOString()
  const commands = said.map(
    ([part, words], deviceSeq) =>
      ({
        // The same form gives the same entries.
        ...{ id: part === '' ? found.commandId : rowId(found.commandId, part), businessId: found.businessId, visitId },
        ...{ version: 1, madeAt, deviceId: `web-${actor.personId}`, deviceSeq },
        ...words,
      }) as VisitCommandInput, // one of the union's members with its envelope: the compiler cannot join the halves
  )
  const written = await applyWholeOfVisit(actor, commands)
  return written.ok ? done({ visitId, leadsTo: found.putRight ? '' : (of.leadsTo ?? '') }) : written
}

async function devicesAt(tx: Transaction, businessId: string, visitId: string) {
  const visit = await tx.visit.findFirst({
    where: { businessId, id: visitId },
    select: {
      tank: {
        select: {
          equipments: {
            where: { removedOn: null },
            select: { id: true, equipmentClass: true },
            orderBy: { id: 'asc' },
          },
        },
      },
    },
  })
  return visit?.tank.equipments ?? null
}

/** What the form must still say, by its fields; null where nothing is missing. */
function whatIsMissing(found: FoundCause, of: FaultCause, places: number): FieldProblems | null {
  const isSettled = of.last || of.leadsTo !== undefined
  const missing: FieldProblems = {
    ...(places > 1 ? { atDeviceId: ['Which one was it? Choose one.'] } : {}),
    ...(places > 0 && !isSettled && !found.asFound ? { asFound: ['How bad was it? Choose one.'] } : {}),
    ...(!isSettled && !found.putRight ? { putRight: ['Was it put right? Choose one.'] } : {}),
    ...(of.last && found.followUp === '' ? { followUp: ['What is looked at again? Write it in a few words.'] } : {}),
    ...(found.followUp !== '' && found.followUpOn === '' ? { followUpOn: ['By when? Choose a day.'] } : {}),
  }
  return Object.keys(missing).length > 0 ? missing : null
}

/** What stood still on the way: for what was readied, by the first steps, and after answers that could not wait. */
function switchedOffIn({ setUps, firstSteps, checks }: FaultFamily, moves: readonly Move[]): SwitchedSlug[] {
  const readied = new Set(readiedIn(moves))
  const { answers } = learntFrom(moves)
  const given = checks.flatMap(({ slug, answers: known }) =>
    known.filter((answer) => answers.some((one) => one.check === slug && one.answer === answer.slug)),
  )
  const steps = [
    ...setUps.filter(({ slug }) => readied.has(slug)),
    ...(moves.some(({ did }) => did !== 'found') ? firstSteps : []),
    ...given,
  ]
  return [...new Set(steps.flatMap(({ switchesOff = [] }) => switchesOff))]
}

/** The finding with its work; where no device is behind it, a note for us. */
function whatWasDone(found: FoundCause, sign: string, of: FaultCause, equipmentId: string | undefined): [string, Said] {
  const isDone = found.putRight === 'now'
  if (!equipmentId || !of.mode) {
    const words = [`${sign}: ${of.name}.`, isDone ? 'Put right.' : 'Not put right yet.', found.asLeft]
    return ['note', { kind: 'visit.note', audience: 'us', text: words.filter(Boolean).join(' '), replaces: [] }]
  }
  const look: Look = {
    ...{ equipmentId, mode: of.mode, depth: findMode(of.mode)?.lookNeeded ?? 'running' },
    ...{ asFound: found.asFound ?? 'needs_it', symptom: sign, cause: of.name, asLeft: found.asLeft },
    remedy: isDone ? of.remedy : '',
    cureConfidence: isDone && found.cureConfidence !== '' ? found.cureConfidence : null,
  }
  const task = isDone && of.task ? findTask(of.task) : null
  if (!task?.renews.includes(of.mode)) return ['look', { kind: 'visit.record-looks', looks: [look] }]
  const renewals = renewalsFor(task.slug, 'found', [look])
  return ['work', { kind: 'visit.work', equipmentId, task: task.slug, partial: false, looks: [look], renewals }]
}

type Said = VisitCommandInput extends infer Command
  ? Command extends VisitCommandInput
    ? Omit<Command, 'id' | 'businessId' | 'visitId' | 'version' | 'madeAt' | 'deviceId' | 'deviceSeq'>
    : never
  : never
