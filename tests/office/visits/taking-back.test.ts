import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { applyVisitCommands } from '@/lib/office/visits/commands'
import { renewalsFor } from '@/lib/office/visits/looking'
import type { VisitCommandInput } from '@/lib/office/visits/schema'
import { inScope } from '@/lib/platform/db/scope'
import { seededRandom } from '@/lib/science/seeded-random'
import { bookVisit, look, makePhone, makeRound, type Round } from './round'
import { asRows } from './rows'
import { fullVisit, project, recordOf, sendAs } from './say'

let round: Round
beforeAll(async () => {
  round = await makeRound()
})
const send = (...commands: VisitCommandInput[]) => sendAs(round.actor, ...commands)
const oks = (results: readonly { ok: boolean }[]) => results.map(({ ok }) => ok)

describe('taking back', () => {
  test('each thing of a whole visit leaves the record as if it had never been said; rows are only added', async () => {
    const commands = fullVisit(round, await bookVisit(round))
    const undoable = commands.filter(({ kind }) => !['visit.promise', 'visit.photo'].includes(kind))
    for (const [place, gone] of undoable.entries()) {
      const visitId = await bookVisit(round)
      const said = fullVisit(round, visitId)
      const target = said[commands.indexOf(gone)]
      if (!target) throw new Error('the same visit has the same commands')
      await send(...said)
      const count = () => inScope(round.scope, (tx) => tx.finding.count({ where: { visitId } }))
      const before = await count()
      const back = makePhone(round, visitId, 'phone-a', '12:00')({ kind: 'visit.take-back', takesBack: target.id })
      expect(oks(await send(back)), `${place} ${target.kind}`).toEqual([true])
      const record = await recordOf(round, visitId)
      expect(record).toEqual(project([...said, back]))
      expect(record).toEqual(project(said.filter((command) => command !== target)))
      expect(await count()).toBeGreaterThanOrEqual(before)
    }
  }, 300_000)

  test('an earlier look stands again, and what was taken back can be said anew', async () => {
    const visitId = await bookVisit(round)
    const say = makePhone(round, visitId)
    const { heater } = round.devices
    const said = (asFound: 'ok' | 'needs_it' | 'failed') =>
      say({ kind: 'visit.record-looks', looks: [look(heater.id, 'heater/reads-off', asFound, 'measured')] })
    const [fine, failed] = [said('ok'), said('failed')]
    const back = say({ kind: 'visit.take-back', takesBack: failed.id })
    await send(fine, failed, back)
    expect((await recordOf(round, visitId)).findings).toMatchObject([{ asFound: 'ok' }])
    const again = said('failed')
    await send(again)
    expect((await recordOf(round, visitId)).findings).toMatchObject([{ asFound: 'failed' }])
    const all = say({ kind: 'visit.take-back', takesBack: fine.id })
    const rest = say({ kind: 'visit.take-back', takesBack: again.id })
    await send(all, rest)
    expect((await recordOf(round, visitId)).findings).toEqual([])
  })

  test('a report gives back to the tap what the tap had covered; what is elsewhere is put right there', async () => {
    const visitId = await bookVisit(round)
    const say = makePhone(round, visitId)
    const pair = { equipmentId: round.devices.skimmer.id, mode: 'protein-skimmer/out-of-tune' }
    const tap = say({ kind: 'visit.all-running', pairs: [pair] })
    const said = { asFound: 'needs_it' as const, reportedOn: '2026-11-20', sure: true, words: 'wet foam' }
    const report = say({ kind: 'visit.record-report', ...pair, ...said })
    await send(tap, report)
    expect((await recordOf(round, visitId)).findings).toEqual([])
    await send(say({ kind: 'visit.take-back', takesBack: report.id }))
    expect(await recordOf(round, visitId)).toMatchObject({ findings: [{ fromTap: true }], reports: [] })
    const promise = say({ kind: 'visit.promise', what: 'Call back', dueOn: '2026-12-10' })
    const results = await send(
      promise,
      say({ kind: 'visit.take-back', takesBack: promise.id }),
      say({ kind: 'visit.take-back', takesBack: newId() }),
    )
    expect(oks(results)).toEqual([true, false, false])
  })

  test('a visit left by mistake goes on, and what was used goes back on the van', async () => {
    const visitId = await bookVisit(round)
    const say = makePhone(round, visitId)
    const leave = say({ kind: 'visit.leave', outcome: 'done', minutes: 1, leavingCheckDone: [] })
    await send(say({ kind: 'visit.arrive' }), leave, say({ kind: 'visit.take-back', takesBack: leave.id }))
    const visit = await inScope(round.scope, (tx) => tx.visit.findFirstOrThrow({ where: { id: visitId } }))
    expect(visit).toMatchObject({ state: 'under_way', leftAt: null, outcome: null, minutes: null })
    expect((await recordOf(round, visitId)).leftAt).toBeNull()
  })
})

describe('a whole visit sent at once', () => {
  test('ends in the rows it would end in one by one; sent again, also in part, it changes nothing', async () => {
    const visitId = await bookVisit(round)
    const commands = fullVisit(round, visitId)
    const answers = await applyVisitCommands(round.actor, commands)
    expect(answers).toEqual(commands.map(() => ({ ok: true, value: { visitId } })))
    const record = await recordOf(round, visitId)
    expect(record).toEqual(project(commands))
    const rows = () =>
      inScope(round.scope, async (tx) => ({
        findings: await tx.finding.count({ where: { visitId } }),
        renewals: await tx.renewal.count({ where: { visitId } }),
        promises: await tx.followUp.count({ where: { visitId } }),
      }))
    const before = await rows()
    const onceMore = await applyVisitCommands(round.actor, commands.slice(3))
    expect(onceMore.every(({ ok }) => ok)).toBe(true)
    expect(await rows()).toEqual(before)
    const single = await bookVisit(round)
    await send(...fullVisit(round, single))
    expect(asRows(await recordOf(round, single))).toMatchObject({ ...asRows(record), parts: expect.anything() })
  })

  test('one that is refused strands nothing before or after it', async () => {
    const visitId = await bookVisit(round)
    const say = makePhone(round, visitId)
    const { heater } = round.devices
    const commands = [
      say({ kind: 'visit.arrive' }),
      say({ kind: 'visit.record-looks', looks: [look(round.otherTankDevice, 'heater/stuck')] }),
      say({ kind: 'visit.record-looks', looks: [look(heater.id, 'heater/stuck', 'ok', 'measured')] }),
    ]
    const answers = await applyVisitCommands(round.actor, commands, { keepRefused: true })
    expect(oks(answers)).toEqual([true, false, true])
    expect((await recordOf(round, visitId)).findings).toHaveLength(1)
    const kept = await inScope(round.scope, (tx) => tx.command.findFirst({ where: { visitId, status: 'refused' } }))
    expect(kept?.reason).toContain('does not belong')
  })
})

test('forty schedules: looks, taps, work, readings and takings back of two phones, in any order that a take-back allows', async () => {
  const random = seededRandom(20261130)
  const pick = <Item>(items: readonly Item[]): Item => {
    const item = items[Math.floor(random() * items.length)]
    if (item === undefined) throw new Error('nothing to pick from')
    return item
  }
  const { skimmer } = round.devices
  const modes = ['neck-coated', 'out-of-tune', 'air-line-restricted'].map((name) => `protein-skimmer/${name}`)
  for (let schedule = 0; schedule < 40; schedule++) {
    const visitId = await bookVisit(round)
    const phones = ['phone-a', 'phone-b'].map((name) => makePhone(round, visitId, name))
    const said: VisitCommandInput[] = []
    for (let turn = 0; turn < 8; turn++) {
      const say = pick(phones)
      const pair = { equipmentId: skimmer.id, mode: pick(modes) }
      const open = said.filter(({ kind }) => kind !== 'visit.take-back')
      const choices = [
        () =>
          say({
            kind: 'visit.record-looks',
            looks: [look(skimmer.id, pair.mode, pick(['ok', 'needs_it', 'failed']), 'running')],
          }),
        () => say({ kind: 'visit.all-running', pairs: modes.map((mode) => ({ equipmentId: skimmer.id, mode })) }),
        () => say({ kind: 'visit.suspect', ...pair, words: '' }),
        () =>
          say({ kind: 'visit.readings', readings: [{ quantity: 'pH', enteredValue: `8.${turn}`, enteredUnit: '' }] }),
        () =>
          say({
            kind: 'visit.work',
            ...{ equipmentId: skimmer.id, task: 'protein-skimmer/clear-wheel', partial: random() < 0.3, looks: [] },
            renewals: renewalsFor('protein-skimmer/clear-wheel', 'schedule', []),
          }),
        () => say({ kind: 'visit.take-back', takesBack: pick(open).id }),
      ]
      said.push(pick(open.length > 0 ? choices : choices.slice(0, -1))())
    }
    // Sent in any order and some twice, but nothing is taken back before it is there: a phone sends in its own order.
    const sent = said.toSorted(() => random() - 0.5)
    const isBack = ({ kind }: VisitCommandInput) => kind === 'visit.take-back'
    const delivered = [...sent.filter((command) => !isBack(command)), ...sent.filter(isBack)]
    const twice = delivered.flatMap((command) => (random() < 0.2 ? [command, command] : [command]))
    // In parcels of any size, as a phone sends what has piled up.
    const results = []
    for (let from = 0; from < twice.length; ) {
      const size = 1 + Math.floor(random() * 4)
      results.push(...(await applyVisitCommands(round.actor, twice.slice(from, from + size))))
      from += size
    }
    expect(results.filter(({ ok }) => !ok)).toEqual([])
    expect(await recordOf(round, visitId), `schedule ${schedule}`).toEqual(project(said))
  }
}, 300_000)
