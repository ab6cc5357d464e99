import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { asDbDate } from '@/lib/office/frame/days'
import { applyVisitCommand } from '@/lib/office/visits/commands'
import { formFields } from '@/lib/office/visits/form-fields'
import { namesAtVisit } from '@/lib/office/visits/names-at-visit'
import { findRoute, findTankToVisit, findVisitPage } from '@/lib/office/visits/queries'
import { sayingOf } from '@/lib/office/visits/read-form'
import { visitCommandSchema } from '@/lib/office/visits/schema'
import { inScope } from '@/lib/platform/db/scope'
import { bookVisit, look, makePhone, makeRound, type Round, VISIT_DAY } from './round'

const NOW = new Date(`${VISIT_DAY}T09:30:00Z`)
const formOf = (fields: [string, string][]) => {
  const data = new FormData()
  for (const [name, value] of fields) data.append(name, value)
  return sayingOf(formFields(data))
}

describe('what a form says', () => {
  const equipmentId = newId()
  const envelope = {
    ...{ id: newId(), businessId: newId(), visitId: newId(), version: 1, deviceId: 'web', deviceSeq: 0 },
    madeAt: NOW.toISOString(),
  }
  const parse = (fields: [string, string][]) => visitCommandSchema.safeParse({ ...formOf(fields), ...envelope })

  test('has only the looks that somebody answered, and none without its depth', () => {
    const at = (mode: string, field: string) => `look|${equipmentId}|protein-skimmer/${mode}|${field}`
    const fields: [string, string][] = [
      ['kind', 'visit.record-looks'],
      [at('impeller-film', 'asFound'), 'needs_it'],
      [at('impeller-film', 'depth'), 'opened'],
      [at('impeller-film', 'cause'), 'age'],
      [at('neck-coated', 'symptom'), ''],
    ]
    expect(parse(fields).data).toMatchObject({
      looks: [{ equipmentId, asFound: 'needs_it', depth: 'opened', cause: 'age' }],
    })
    const shallow = parse([...fields, [at('out-of-tune', 'asFound'), 'ok']])
    expect(shallow.error?.issues.map(({ message }) => message)).toEqual(['How closely did you look?'])
  })

  test('of work carries a reason for each mode, and none when nobody gave one', () => {
    const fields: [string, string][] = [
      ['kind', 'visit.work'],
      ['equipmentId', equipmentId],
      ['task', 'heater/replace'],
      ['known', JSON.stringify([{ mode: 'heater/stuck', asFound: 'failed' }])],
    ]
    expect(parse(fields).success).toBe(false)
    expect(parse([...fields, ['reason', 'schedule']]).data).toMatchObject({
      renewals: [
        { mode: 'heater/reads-off', reason: 'schedule' },
        { mode: 'heater/stuck', reason: 'found' },
      ],
    })
  })

  test.each([
    ['visit.record-looks', 'Nothing is said yet: say of one thing at least how you found it.'],
    ['visit.readings', 'No figure is written yet.'],
    ['visit.switch-off', 'What did you switch off? Tick it.'],
    ['visit.switch-on', 'What is on again? Tick it.'],
  ])('an empty form of %s is refused in words', (kind, words) => {
    expect(parse([['kind', kind]]).error?.issues.map(({ message }) => message)).toEqual([words])
  })

  test('an empty note is refused in words, and takes back the one that it replaces', () => {
    const note: [string, string][] = [
      ['kind', 'visit.note'],
      ['audience', 'us'],
      ['text', '  '],
    ]
    expect(parse(note).error?.issues.map(({ message }) => message)).toEqual([
      'Nothing is written yet. Write the note first.',
    ])
    expect(parse([...note, ['replaces', newId()]]).success).toBe(true)
  })

  test('work without a reason is asked for it, and for nothing else', () => {
    const fields: [string, string][] = [
      ['kind', 'visit.work'],
      ['equipmentId', equipmentId],
      ['task', 'heater/replace'],
    ]
    expect(parse(fields).error?.issues.map(({ message }) => message)).toEqual(['Why was it done? Choose one.'])
  })

  test.each(['', '12.5', '-3', 'an hour', '2000'])('refuses “%s” minutes in words', (minutes) => {
    const result = parse([
      ['kind', 'visit.leave'],
      ['outcome', 'done'],
      ['minutes', minutes],
    ])
    expect(result.error?.issues.map(({ message }) => message)).toContain('Minutes: a whole number from 1 to 1440.')
  })
})

describe('the pages of a visit', () => {
  let round: Round
  beforeAll(async () => {
    round = await makeRound()
  })

  test('know what the devices are called for what is wrong with a form, and nothing of another business', async () => {
    const visitId = await bookVisit(round)
    const { heater } = round.devices
    const names = await namesAtVisit(round.actor, visitId)
    expect(names.device(heater.id)).toBe('heater')
    expect(names.mode('heater/stuck')).not.toContain('/')
    const other = await makeRound()
    expect((await namesAtVisit(other.actor, visitId)).device(heater.id)).toBeUndefined()
  })

  test('say on the first visit what was wrong when the tank was taken on, and not on later ones', async () => {
    const first = await makeRound()
    const { businessId, tankId, clientId, siteId } = first
    await inScope(first.scope, (tx) =>
      tx.tankPrivate.create({ data: { businessId, id: newId(), tankId, faultsAtTakeover: 'thermostat sticks' } }),
    )
    const said = async () => (await findVisitPage(first.actor, await bookVisit(first), NOW))?.arrive.faultsAtTakeover
    expect(await said()).toBe('thermostat sticks')
    const done = { kind: 'routine', state: 'done', localDate: asDbDate('2026-11-01'), timeZone: 'Europe/London' }
    await inScope(first.scope, (tx) =>
      tx.visit.create({ data: { businessId, id: newId(), clientId, tankId, siteId, ...done } }),
    )
    expect(await said()).toBe('')
  })

  test('ask by itself what is suspected, and take it out of the one tap', async () => {
    const visitId = await bookVisit(round)
    const { skimmer } = round.devices
    const mode = 'protein-skimmer/neck-coated'
    const before = await findVisitPage(round.actor, visitId, NOW)
    expect(before?.tap.pairs).toContainEqual({ equipmentId: skimmer.id, mode })
    expect(before?.record.findings).toEqual([])
    await applyVisitCommand(
      round.actor,
      makePhone(round, visitId)({ kind: 'visit.suspect', equipmentId: skimmer.id, mode, words: 'weak foam' }),
    )
    const page = await findVisitPage(round.actor, visitId, NOW)
    expect(page?.tap.pairs).not.toContainEqual({ equipmentId: skimmer.id, mode })
    const asked = page?.devices.flatMap((device) => device.modes.filter(({ listed }) => listed !== null))
    expect(asked).toMatchObject([{ slug: mode, listed: 'suspected: weak foam', finding: null }])
  })

  test('put the task for a found fault first, with the caution of that task and no other', async () => {
    const visitId = await bookVisit(round)
    const { skimmer } = round.devices
    const say = makePhone(round, visitId)
    await applyVisitCommand(
      round.actor,
      say({
        kind: 'visit.record-looks',
        looks: [look(skimmer.id, 'protein-skimmer/air-line-restricted', 'needs_it', 'running')],
      }),
    )
    const page = await findVisitPage(round.actor, visitId, NOW)
    const tasks = page?.devices.find(({ id }) => id === skimmer.id)?.tasks
    expect(tasks?.[0]).toMatchObject({ slug: 'protein-skimmer/flush-air-line', because: { kind: 'found' } })
    expect(tasks?.[0]?.cautions.join(' ')).toMatch(/Skimmer off before air goes through its nozzle/)
    expect(tasks?.find(({ slug }) => slug === 'protein-skimmer/wipe-neck')?.cautions).toEqual([])
    expect(tasks?.find(({ slug }) => slug === 'protein-skimmer/tune')?.because).toBeNull()
  })

  test('offer the general clean while a device is out that nobody has cleaned for half a year', async () => {
    const visitId = await bookVisit(round)
    const { skimmer } = round.devices
    const mode = 'protein-skimmer/impeller-worn'
    const page = await findVisitPage(round.actor, visitId, NOW)
    const offered = (at: typeof page) =>
      at?.devices.find(({ id }) => id === skimmer.id)?.tasks.find(({ slug }) => slug.endsWith('/strip-down'))?.because
        ?.kind
    expect(offered(page)).not.toBe('while_out')
    const renewals = ['impeller-worn', 'wheel-clogged', 'impeller-grit', 'shaft-hair', 'impeller-film'].map((name) => ({
      mode: `protein-skimmer/${name}`,
      reason: 'schedule' as const,
    }))
    const work = {
      kind: 'visit.work' as const,
      equipmentId: skimmer.id,
      task: 'protein-skimmer/replace-impeller',
      partial: false,
    }
    const result = await applyVisitCommand(
      round.actor,
      makePhone(round, visitId)({ ...work, looks: [look(skimmer.id, mode, 'ok')], renewals }),
    )
    expect(result.ok).toBe(true)
    expect(offered(await findVisitPage(round.actor, visitId, NOW))).toBe('while_out')
  })

  test('judge what was measured and say when the two thermometers differ by more than 1 °C', async () => {
    const visitId = await bookVisit(round)
    const readings = [
      { quantity: 'temperature', enteredValue: '27.2', enteredUnit: '°C' },
      { quantity: 'temperatureShown', enteredValue: '77', enteredUnit: '°F' },
    ]
    await applyVisitCommand(round.actor, makePhone(round, visitId)({ kind: 'visit.readings', readings }))
    const page = await findVisitPage(round.actor, visitId, NOW)
    expect(page?.water.quantities.slice(0, 2).map(({ quantity }) => quantity)).toEqual([
      'temperature',
      'temperatureShown',
    ])
    expect(page?.water.readings.find(({ quantity }) => quantity === 'temperature')?.state).toBe('high')
    expect(page?.water.apart).toContain('differ by 2.2 °C') // 77 °F is 25 °C
  })

  test('show the day of the technician and of nobody else, and nothing of another business', async () => {
    const own = await makeRound()
    const visitId = await bookVisit(own)
    const route = await findRoute(own.actor, { day: VISIT_DAY }, NOW)
    expect(route.stops.map((stop) => stop.visitId)).toEqual([visitId])
    const colleague = { ...own.actor, personId: newId() }
    expect((await findRoute(colleague, { day: VISIT_DAY, technicianId: own.personId }, NOW)).stops).toEqual([])
    const owner = { ...colleague, roles: ['owner'] as const }
    expect((await findRoute(owner, { day: VISIT_DAY, technicianId: own.personId }, NOW)).stops).toHaveLength(1)
    expect(await findVisitPage(round.actor, visitId, NOW)).toBeNull()
    expect(await findTankToVisit(round.actor, own.tankId, NOW)).toBeNull()
    expect((await findTankToVisit(own.actor, own.tankId, NOW))?.planned?.id).toBe(visitId)
    await inScope(own.scope, (tx) =>
      tx.tank.updateMany({ where: { id: own.tankId }, data: { archivedAt: asDbDate('2026-11-01') } }),
    )
    expect(await findTankToVisit(own.actor, own.tankId, NOW)).toBeNull()
  })
})
