import { expect } from 'vitest'
import type { Actor } from '@/lib/office/frame/actor'
import { applyVisitCommand } from '@/lib/office/visits/commands'
import { creditsOf, renewalsFor } from '@/lib/office/visits/looking'
import { projectVisit } from '@/lib/office/visits/projection'
import { RECORDED, recordOf as readRecord } from '@/lib/office/visits/read-record'
import { NOTHING_BEFORE } from '@/lib/office/visits/record'
import { type VisitCommandInput, visitCommandSchema } from '@/lib/office/visits/schema'
import { inScope } from '@/lib/platform/db/scope'
import { leavingCheck } from '@/lib/trade'
import { look, makePhone, type Round } from './round'
import { asRows, rowsOf } from './rows'

/** Applies commands one after the other and gives what each answered. */
export async function sendAs(actor: Actor, ...commands: VisitCommandInput[]) {
  const results = []
  for (const command of commands) results.push(await applyVisitCommand(actor, command))
  return results
}
/** The record of a visit as its page reads it, after its rows were found to say the same. */
export async function recordOf({ businessId, scope }: Pick<Round, 'businessId' | 'scope'>, visitId: string) {
  const { record, rows } = await inScope(scope, async (tx) => {
    const visit = await tx.visit.findFirstOrThrow({ where: { businessId, id: visitId }, include: RECORDED })
    return { record: await readRecord(tx, businessId, visit), rows: await rowsOf(tx, businessId, visitId) }
  })
  expect(rows).toEqual(asRows(record))
  return record
}
/** The record of a visit from its commands. */
export const project = (commands: VisitCommandInput[]) =>
  projectVisit(
    NOTHING_BEFORE,
    commands.map((command) => visitCommandSchema.parse(command)),
  )
export const checks = (off: string[]) => leavingCheck(off).map(({ slug }) => slug)

/** A whole visit in the order people work. */
export function fullVisit(round: Round, visitId: string): VisitCommandInput[] {
  const say = makePhone(round, visitId)
  const { skimmer, heater } = round.devices
  const devices = Object.values(round.devices)
  const found = look(skimmer.id, 'protein-skimmer/wheel-clogged', 'needs_it')
  const empty = { findings: [], reports: [], suspicions: [] }
  const suspicion = { equipmentId: skimmer.id, mode: 'protein-skimmer/air-line-restricted' }
  const commands = [
    say({ kind: 'visit.arrive' }),
    say({ kind: 'visit.suspect', ...suspicion, words: 'little foam' }),
    say({ kind: 'visit.record-looks', looks: [look(heater.id, 'heater/reads-off', 'ok', 'measured')] }),
    say({
      kind: 'visit.all-running',
      pairs: creditsOf(devices, { ...empty, suspicions: [{ id: '', words: '', ...suspicion }] }),
    }),
    say({
      kind: 'visit.readings',
      readings: [
        { quantity: 'alkalinity', enteredValue: '8,0', enteredUnit: 'dKH' },
        { quantity: 'temperature', enteredValue: '25.2', enteredUnit: '°C' },
      ],
    }),
    say({ kind: 'visit.switch-off', devices: ['return-pump', 'protein-skimmer', 'auto-top-up'] }),
    say({
      kind: 'visit.work',
      equipmentId: skimmer.id,
      task: 'protein-skimmer/clear-wheel',
      partial: false,
      looks: [{ ...found, cause: 'strands', remedy: 'cleared', asLeft: 'runs', cureConfidence: 'likely' }],
      renewals: renewalsFor('protein-skimmer/clear-wheel', 'condition', [{ ...found, asFound: 'needs_it' }]),
    }),
    say({ kind: 'visit.switch-on', devices: ['return-pump'] }),
    say({ kind: 'visit.switch-on', devices: ['protein-skimmer'] }),
    say({ kind: 'visit.switch-on', devices: ['auto-top-up'] }),
    say({ kind: 'visit.use-part', description: 'Rotor set', quantity: 1, billable: true }),
    say({ kind: 'visit.note', audience: 'client', text: 'Foams again.', replaces: [] }),
    say({ kind: 'visit.note', audience: 'us', text: 'Strands from the refugium.', replaces: [] }),
    say({ kind: 'visit.promise', what: 'Look at the foam', dueOn: '2026-12-10' }),
    say({ kind: 'visit.photo', caption: 'Cabinet', forClient: true, takenAt: '2026-11-26T10:00:00Z' }),
    say({
      kind: 'visit.leave',
      outcome: 'done',
      minutes: 25,
      leavingCheckDone: checks(['return-pump', 'protein-skimmer', 'auto-top-up']),
    }),
  ]
  return commands
}
