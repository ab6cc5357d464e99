import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { wearBehindTask, wearDueDays, wearOfTankIn } from '@/lib/office/lanes/wear'
import { withWear } from '@/lib/office/lanes/wear-lanes'
import { applyVisitCommand } from '@/lib/office/visits/commands'
import { renewalsFor } from '@/lib/office/visits/looking'
import type { VisitCommandInput } from '@/lib/office/visits/schema'
import { inScope } from '@/lib/platform/db/scope'
import { pinClock } from '../../setup/pinned-clock'
import { makeRound, type Round } from '../visits/round'
import { project, recordOf } from '../visits/say'

const DAY_MS = 86_400_000
const NOW = new Date('2026-11-25T11:00:00Z')
const TODAY = Math.floor(NOW.getTime() / DAY_MS)
const MODE = 'dosing-pump/tube-tired'

let round: Round
let pumpId: string
let unitId: string
beforeAll(async () => {
  pinClock(NOW)
  round = await makeRound()
  const { businessId, tankId } = round
  ;[pumpId, unitId] = [newId(), newId()]
  await inScope(round.scope, async (tx) => {
    for (const [id, equipmentClass] of [
      [pumpId, 'dosing-pump'],
      [unitId, 'reverse-osmosis'],
    ] as const) {
      const place = { businessId, tankId, equipmentClass, label: equipmentClass }
      await tx.slot.create({ data: { ...place, id } })
      await tx.equipment.create({ data: { ...place, id, slotId: id } })
    }
  })
})

/** A visit so many days ago, at which things are said a minute apart. */
async function visitAgo(
  days: number,
  ...said: object[]
): Promise<{ results: unknown[]; commands: VisitCommandInput[]; visitId: string }> {
  const { businessId, clientId, tankId, siteId, personId, scope, actor } = round
  const visitId = newId()
  // In the morning of that day; today a quarter of an hour ago, for what is still to come is refused.
  const start = days === 0 ? NOW.getTime() - 900_000 : (TODAY - days) * DAY_MS + 10 * 3_600_000
  await inScope(scope, (tx) =>
    tx.visit.create({
      data: {
        ...{
          businessId,
          id: visitId,
          clientId,
          tankId,
          siteId,
          technicianId: personId,
          kind: 'routine',
          state: 'booked',
        },
        ...{ localDate: new Date((TODAY - days) * DAY_MS), timeZone: 'Europe/London' },
      },
    }),
  )
  const commands = [{ kind: 'visit.arrive' }, ...said].map((words, place) => {
    const envelope = { id: newId(), businessId, visitId, version: 1, deviceId: 'phone-a', deviceSeq: place }
    // One of the union's members with its own envelope.
    return { ...envelope, madeAt: new Date(start + place * 60_000).toISOString(), ...words } as VisitCommandInput
  })
  const results = []
  for (const command of commands) results.push(await applyVisitCommand(actor, command))
  return { results, commands, visitId }
}
const dose = (value: string) => ({
  kind: 'visit.device-readings',
  readings: [
    { equipmentId: pumpId, quantity: 'dose-rate', enteredValue: value, enteredInto: '', enteredUnit: 'mL/min' },
  ],
})
const worn = () => inScope(round.scope, (tx) => wearOfTankIn(tx, round.businessId, round.tankId))
const ofPump = async () => (await worn()).find(({ equipmentId }) => equipmentId === pumpId)

describe('what is measured on a device', () => {
  test('dates the renewal before its time, in the lanes and for the due days', async () => {
    for (const [ago, value] of [
      [300, '50'],
      [200, '49.1'],
      [100, '47.9'],
      [1, '47.1'],
    ] as const)
      for (const result of (await visitAgo(ago, dose(value))).results) expect(result).toMatchObject({ ok: true })
    const wear = await ofPump()
    expect(wear).toMatchObject({ state: 'dated', baseline: 50, threshold: 45, failureMode: MODE })
    // From 50 a hundredth a day: the tenth is lost about 500 days after the first reading.
    expect(Math.abs((wear?.thresholdDay ?? 0) - (TODAY + 200))).toBeLessThan(40)
    const due = await inScope(round.scope, (tx) => wearDueDays(tx, round.businessId, [pumpId, unitId]))
    expect([...due.keys()]).toEqual([`${pumpId} ${MODE}`])
    expect(due.get(`${pumpId} ${MODE}`)?.day).toBe(wear?.thresholdDay)
    const lane = { id: `${pumpId} ${MODE}`, label: 'Dosing pump', marks: [] }
    const [drawn] = withWear([lane], await worn())
    expect(drawn?.band?.length).toBeGreaterThan(5)
    expect(drawn?.sub).toMatch(/^measured: about /)
    expect(await wearBehindTask(round.actor, pumpId, 'dosing-pump/replace-tube')).toHaveLength(1)
    expect(await wearBehindTask(round.actor, pumpId, 'dosing-pump/calibrate')).toEqual([])
  })

  test('a new tube starts anew: what the old one gave at the same visit stays before it, the new figure is the baseline', async () => {
    const task = 'dosing-pump/replace-tube'
    const renewals = renewalsFor(task, 'condition', [])
    const work = { kind: 'visit.work', equipmentId: pumpId, task, partial: false, looks: [], renewals }
    const { results, commands, visitId } = await visitAgo(0, dose('46.8'), work, dose('52'))
    for (const result of results) expect(result).toMatchObject({ ok: true })
    expect(await ofPump()).toMatchObject({ state: 'too-few', baseline: 52, path: [{ value: 52 }] })
    const record = await recordOf(round, visitId)
    expect(record).toEqual(project(commands))
    expect(record?.deviceReadings).toEqual([
      { equipmentId: pumpId, quantity: 'dose-rate', enteredValue: '52', enteredUnit: 'mL/min' },
    ])
    expect(record?.readings).toEqual([])
  })

  test('a membrane is measured on both sides, and what cannot be is refused in words', async () => {
    const membrane = (into: string, out: string, equipmentId = unitId) => ({
      kind: 'visit.device-readings',
      readings: [{ equipmentId, quantity: 'rejection', enteredValue: out, enteredInto: into, enteredUnit: 'mg/L' }],
    })
    const { results } = await visitAgo(
      30,
      membrane('250', '10'),
      membrane('10', '250'),
      membrane('250', '10', pumpId),
      membrane('250', ''),
    )
    expect(results.map((result) => (result as { ok: boolean }).ok)).toEqual([true, true, false, false, false])
    const row = await inScope(round.scope, (tx) => tx.reading.findFirstOrThrow({ where: { equipmentId: unitId } }))
    expect(row).toMatchObject({ enteredValue: '250 in, 10 out', unit: '%' })
    expect(row.value.toNumber()).toBe(96)
  })
})
