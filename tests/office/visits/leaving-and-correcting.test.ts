import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { readList } from '@/lib/office/frame/result'
import { renewalsFor } from '@/lib/office/visits/looking'
import type { VisitCommandInput } from '@/lib/office/visits/schema'
import { inScope } from '@/lib/platform/db/scope'
import { bookVisit, look, makePhone, makeRound, type Round } from './round'
import { checks, fullVisit, project, recordOf, sendAs } from './say'

let round: Round
beforeAll(async () => {
  round = await makeRound()
})
const send = (...commands: VisitCommandInput[]) => sendAs(round.actor, ...commands)

describe('the leaving check', () => {
  const off = ['return-pump', 'heater']
  const leaving = (over = {}) => ({
    kind: 'visit.leave' as const,
    outcome: 'done' as const,
    minutes: 40,
    leavingCheckDone: checks(off),
    ...over,
  })

  test('is refused while something is off, in words that name it; a reason lets go and is kept for the owner', async () => {
    const visitId = await bookVisit(round)
    const say = makePhone(round, visitId)
    const [, stillOff] = await send(say({ kind: 'visit.switch-off', devices: off }), say(leaving()))
    expect(stillOff).toMatchObject({
      ok: false,
      reason: 'leaving-check',
      words: expect.stringMatching(/Return pump is still off.*\n– Heater is still off/),
    })
    const [early] = await send(say(leaving({ leavingCheckDone: [], leftEarlyReason: 'Fire alarm, building cleared' })))
    expect(early?.ok).toBe(true)
    const kept = await inScope(round.scope, async (tx) => ({
      reason: (await tx.visitPrivate.findFirst({ where: { visitId } }))?.leftEarlyReason,
      event: await tx.visitEvent.findFirst({ where: { visitId, kind: 'left-early' } }),
    }))
    expect(kept.reason).toBe('Fire alarm, building cleared')
    expect(kept.event?.detail).toMatchObject({
      reason: kept.reason,
      hindrances: expect.arrayContaining(['Heater is still off.']),
    })
  })

  test('wants the standing checks too, and the heater on again only after the return', async () => {
    const visitId = await bookVisit(round)
    const say = makePhone(round, visitId)
    await send(
      say({ kind: 'visit.switch-off', devices: off }),
      say({ kind: 'visit.switch-on', devices: ['heater'] }),
      say({ kind: 'visit.switch-on', devices: ['return-pump'] }),
    )
    const [wrongOrder] = await send(say(leaving()))
    expect(wrongOrder).toMatchObject({ words: expect.stringContaining('Heater was switched on before Return pump') })
    await send(say({ kind: 'visit.switch-on', devices: ['heater'] })) // looked at again, in its turn
    const [unconfirmed] = await send(say(leaving({ leavingCheckDone: ['check/levels'] })))
    expect(unconfirmed).toMatchObject({ words: expect.stringContaining('Sockets and plugs dry') })
    expect((await send(say(leaving())))[0]?.ok).toBe(true)
  })

  test('minutes fit the time since the arrival, give or take a quarter of an hour, unless they were there before', async () => {
    const visitId = await bookVisit(round)
    const say = makePhone(round, visitId)
    const end = (minutes: number, over = {}) =>
      say({ kind: 'visit.leave', outcome: 'done', minutes, leavingCheckDone: checks([]), ...over })
    const [, tooLong] = await send(say({ kind: 'visit.arrive' }), end(1440))
    expect(tooLong).toMatchObject({
      ok: false,
      words: expect.stringContaining('You said “I am here” 1 minute ago, and 1440 minutes are longer'),
    })
    // The phone says one thing a minute: this is two minutes after the arrival, and the next four.
    const results = await send(end(17), end(45, { loggedAfterwards: true }), end(240))
    expect(results.map(({ ok }) => ok)).toEqual([true, true, true]) // the last one puts right a visit that is over
    const other = await bookVisit(round)
    const again = makePhone(round, other)
    const late = again({
      kind: 'visit.leave',
      outcome: 'done',
      minutes: 45,
      leavingCheckDone: checks([]),
      loggedAfterwards: true,
    })
    expect((await send(again({ kind: 'visit.arrive' }), late)).map(({ ok }) => ok)).toEqual([true, true])
  })

  test('several reasons come apart into a list, with what to do then', async () => {
    const visitId = await bookVisit(round)
    const say = makePhone(round, visitId)
    const [, stillOff] = await send(say({ kind: 'visit.switch-off', devices: off }), say(leaving()))
    if (stillOff?.ok !== false) throw new Error('the end was taken')
    const { opening, reasons, closing } = readList(stillOff.words ?? '')
    expect(opening).toBe('Before you leave:')
    expect(reasons).toEqual([expect.stringContaining('Return pump'), 'Heater is still off.'])
    expect(closing).toContain('say why')
    expect(readList('One thing.')).toEqual({ opening: 'One thing.', reasons: [], closing: '' })
  })

  test('cut short needs its reason', async () => {
    const visitId = await bookVisit(round)
    const say = makePhone(round, visitId)
    const cut = { kind: 'visit.leave' as const, outcome: 'cut_short' as const, minutes: 10, leavingCheckDone: [] }
    const results = await send(say(cut), say({ ...cut, leftEarlyReason: 'Exam in the hall' }))
    expect(results.map(({ ok }) => ok)).toEqual([false, true])
  })
})

describe('corrections', () => {
  test('chain on the newest, and the first gives way to the second', async () => {
    const visitId = await bookVisit(round)
    const say = makePhone(round, visitId)
    const measured = say({
      kind: 'visit.readings',
      readings: [{ quantity: 'pH', enteredValue: '9.1', enteredUnit: '' }],
    })
    const part = say({ kind: 'visit.use-part', description: 'Tube', quantity: 2, billable: true })
    await send(measured, part)
    const reading = (await recordOf(round, visitId))?.readings[0]
    const fix = (enteredValue: string) =>
      say({
        kind: 'visit.correct',
        correction: { of: 'reading', targetId: reading?.id ?? '', quantity: 'pH', enteredValue, enteredUnit: '' },
      })
    const first = fix('8.1')
    const second = fix('8.2')
    const none = say({
      kind: 'visit.correct',
      correction: { of: 'part', targetId: part.id, description: 'Tube', quantity: 0, billable: true },
    })
    const results = await send(second, first, none) // the first one comes last
    expect(results.map(({ ok }) => ok)).toEqual([true, true, true])
    const record = await recordOf(round, visitId)
    expect(record).toEqual(project([measured, part, first, second, none]))
    expect(record?.readings).toMatchObject([{ id: reading?.id, enteredValue: '8.2' }])
    expect(record?.parts).toMatchObject([{ quantity: 0 }])
    const rows = await inScope(round.scope, (tx) =>
      tx.reading.findMany({ where: { visitId }, include: { correctedBy: true } }),
    )
    expect(rows.filter((row) => row.correctedBy === null)).toHaveLength(1)
    expect(new Set(rows.flatMap((row) => row.correctsId ?? [])).size).toBe(rows.length - 1)
  })

  test('of a finding after leaving, and of a renewal that was only part of the task', async () => {
    const visitId = await bookVisit(round)
    const commands = fullVisit(round, visitId)
    await send(...commands)
    const say = makePhone(round, visitId, 'desk', '12:00')
    const { skimmer } = round.devices
    const before = await recordOf(round, visitId)
    const renewal = before?.renewals.find(({ mode }) => mode === 'protein-skimmer/impeller-film')
    const fixes = [
      say({
        kind: 'visit.correct',
        correction: { of: 'finding', look: look(skimmer.id, 'protein-skimmer/wheel-clogged', 'failed') },
      }),
      say({
        kind: 'visit.correct',
        correction: { of: 'renewal', targetId: renewal?.id ?? '', reason: 'while_out', partial: true },
      }),
      say({
        kind: 'visit.correct',
        correction: { of: 'renewal', targetId: newId(), reason: 'while_out', partial: true },
      }),
    ]
    expect((await send(...fixes)).map(({ ok }) => ok)).toEqual([true, true, false])
    const record = await recordOf(round, visitId)
    expect(record).toEqual(project([...commands, ...fixes]))
    expect(record?.findings.find(({ mode }) => mode === 'protein-skimmer/wheel-clogged')?.asFound).toBe('failed')
  })
})

describe('work', () => {
  test('an exchanged heater: the old one ends by what was found, the new one begins its lives', async () => {
    const own = await makeRound()
    const visitId = await bookVisit(own)
    const say = makePhone(own, visitId)
    const { heater } = own.devices
    const found = look(heater.id, 'heater/reads-off', 'needs_it', 'measured')
    const work = say({
      kind: 'visit.work',
      equipmentId: heater.id,
      task: 'heater/replace',
      partial: false,
      looks: [found],
      renewals: renewalsFor('heater/replace', 'schedule', [found]),
    })
    expect((await sendAs(own.actor, work))[0]?.ok).toBe(true)
    const devices = await inScope(own.scope, (tx) =>
      tx.equipment.findMany({ where: { slotId: heater.id }, orderBy: { installedOn: 'asc' } }),
    )
    const [fresh] = devices.filter((device) => device.removedOn === null)
    expect(devices.find(({ id }) => id === heater.id)?.removedBecauseMode).toBe('heater/reads-off')
    expect(fresh).toMatchObject({ replacesId: heater.id, installedConfirmedNew: true })
    const record = await recordOf(own, visitId)
    expect(record).toEqual(project([work]))
    expect(record?.renewals.map(({ mode, reason, equipmentId }) => [mode, reason, equipmentId])).toEqual(
      expect.arrayContaining([
        ['heater/reads-off', 'found', fresh?.id],
        ['heater/stuck', 'schedule', fresh?.id],
      ]),
    )
  })

  test('a task renews all it renews or is refused; a found mode is renewed because it was found', async () => {
    const visitId = await bookVisit(round)
    const { skimmer } = round.devices
    const reasons = renewalsFor('protein-skimmer/strip-down', 'condition', [
      { mode: 'protein-skimmer/body-fouled', asFound: 'needs_it' },
    ])
    expect(reasons.filter(({ reason }) => reason === 'found').map(({ mode }) => mode)).toEqual([
      'protein-skimmer/body-fouled',
    ])
    expect(new Set(reasons.map(({ reason }) => reason))).toEqual(new Set(['found', 'while_out']))
    const say = makePhone(round, visitId)
    const [short] = await send(
      say({
        kind: 'visit.work',
        equipmentId: skimmer.id,
        task: 'protein-skimmer/strip-down',
        partial: false,
        looks: [],
        renewals: reasons.slice(1),
      }),
    )
    expect(short).toMatchObject({ ok: false, reason: 'does-not-fit' })
  })
})
