import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { correctRemedy, recordRemedy, takeBackRemedy } from '@/lib/office/faults/commands'
import { faultStory, needsOverTime, peopleComparison, repeatFaultList } from '@/lib/office/faults/queries'
import { readFaultCells } from '@/lib/office/faults/read-cells'
import type { Actor } from '@/lib/office/frame/actor'
import { asDbDate } from '@/lib/office/frame/days'
import { refitLifeModels } from '@/lib/office/lanes/rebuild'
import { inScope } from '@/lib/platform/db/scope'
import { testDatabase } from '../../setup/database'
import { writeSimulatedBusiness } from '../due/simulated-business'

// A simulated business of stated truth: three tanks clog their wheel eight times as fast as the others.
const NOW = new Date('2026-01-05T10:00:00Z')
const TODAY = Math.floor(NOW.getTime() / 86_400_000)
const MODE = { equipmentClass: 'protein-skimmer', failureMode: 'protein-skimmer/wheel-clogged' }
let business: Awaited<ReturnType<typeof writeSimulatedBusiness>>
let owner: Actor
let offender = ''

beforeAll(async () => {
  await testDatabase()
  business = await writeSimulatedBusiness(102, { tankCount: 40, weeks: 120 })
  const { businessId, scope } = business
  const personId = newId()
  await inScope(scope, async (tx) => {
    await tx.person.create({ data: { businessId, id: personId, name: 'Rowan' } })
    const offenders = business.records.truth.offenders.map((name) => business.tankId.get(name) ?? '')
    await tx.tank.updateMany({ where: { businessId, id: { in: offenders } }, data: { hasStringyRefugium: true } })
  })
  owner = { businessId, personId, membershipId: newId(), roles: ['owner'], name: 'Rowan' }
  await refitLifeModels(scope, TODAY)
  const { rows } = await repeatFaultList(owner, NOW)
  offender = rows.find((row) => row.sure && row.failureMode === MODE.failureMode)?.tankId ?? ''
})

const pair = () => ({ tankId: offender, ...MODE })
const remedy = (words: string, effectiveOn: string) => ({
  ...{ commandId: newId(), businessId: owner.businessId, ...pair() },
  ...{ remedy: words, effectiveOn },
})
const story = async (since?: string) => {
  const found = await faultStory(owner, { ...pair(), ...(since && { since }) }, NOW)
  if (!found) throw new Error('no such fault')
  return found
}

describe('remedies', () => {
  test('are written down, corrected and taken back by further rows; the list says how it stands', async () => {
    const asked = remedy('Screen before the pump', '2025-12-01')
    const made = await recordRemedy(owner, asked)
    expect(made).toMatchObject({ ok: true, value: { remedyId: asked.commandId } })
    expect(await recordRemedy(owner, asked)).toEqual(made) // the same again changes nothing
    expect((await story()).remedies).toMatchObject([{ remedy: 'Screen before the pump', effectiveOn: '2025-12-01' }])
    const correction = { commandId: newId(), businessId: owner.businessId, remedyId: asked.commandId }
    const fixed = await correctRemedy(owner, { ...correction, remedy: 'Finer screen', effectiveOn: '2025-11-20' })
    expect(fixed.ok).toBe(true)
    const late = { ...correction, commandId: newId(), remedy: 'x', effectiveOn: '2025-11-20' }
    expect(await correctRemedy(owner, late)).toMatchObject({ ok: false, reason: 'not-found' })
    const { rows } = await repeatFaultList(owner, NOW)
    const row = rows.find(({ tankId, failureMode }) => tankId === offender && failureMode === MODE.failureMode)
    expect(row?.remedy).toMatchObject({ effectiveOn: '2025-11-20' })
    expect(['early', 'unseen', 'fell', 'not-fallen']).toContain(row?.remedy.state)
    const back = { commandId: newId(), businessId: owner.businessId, remedyId: correction.commandId }
    expect((await takeBackRemedy(owner, back)).ok).toBe(true)
    expect((await story()).remedies).toEqual([])
    const kept = await inScope(business.scope, (tx) =>
      tx.faultRemedy.count({ where: { businessId: owner.businessId } }),
    )
    expect(kept).toBe(3)
  })

  test('put right by several people at once, one of them is heard and the others are told', async () => {
    const asked = remedy('Strainer', '2025-12-01')
    await recordRemedy(owner, asked)
    const correct = (words: string) =>
      correctRemedy(owner, {
        ...{ commandId: newId(), businessId: owner.businessId, remedyId: asked.commandId },
        ...{ remedy: words, effectiveOn: '2025-12-01' },
      })
    const answers = await Promise.all(['one', 'two', 'three', 'four'].map(correct))
    const [kept, ...more] = answers.flatMap((answer) => (answer.ok ? [answer.value] : []))
    expect(more).toEqual([])
    for (const answer of answers) if (!answer.ok) expect(['already-so', 'not-found']).toContain(answer.reason)
    const { remedies } = await story()
    expect(remedies.map(({ id }) => id)).toEqual([kept?.remedyId])
    const back = { commandId: newId(), businessId: owner.businessId, remedyId: kept?.remedyId ?? '' }
    expect((await takeBackRemedy(owner, back)).ok).toBe(true)
  })

  test('of a day to come, by a client, or of another business are refused in words', async () => {
    expect(await recordRemedy(owner, remedy('Later', '2099-01-01'))).toMatchObject({ ok: false, reason: 'invalid' })
    const client: Actor = { ...owner, roles: ['client'], clientId: business.clientId }
    expect(await recordRemedy(client, remedy('Mine', '2025-12-01'))).toMatchObject({ reason: 'not-allowed' })
    const elsewhere = { ...remedy('Theirs', '2025-12-01'), businessId: newId() }
    expect(await recordRemedy(owner, elsewhere)).toMatchObject({ reason: 'other-business' })
    const unknown = { ...remedy('None', '2025-12-01'), tankId: newId() }
    expect(await recordRemedy(owner, unknown)).toMatchObject({ reason: 'not-found' })
  })

  test('from before anything is on record of the tank, or a comparison with such a day, are refused in words', async () => {
    const words = [/^Nothing is on record of this tank before \d+ \w+ 2023: choose that day or a later one\.$/]
    expect(await recordRemedy(owner, remedy('Long ago', '1950-01-01'))).toMatchObject({
      fields: { effectiveOn: words },
    })
    const asked = remedy('Sponge', '2025-12-01')
    await recordRemedy(owner, asked)
    const correction = { commandId: newId(), businessId: owner.businessId, remedyId: asked.commandId, remedy: 'Sponge' }
    expect(await correctRemedy(owner, { ...correction, effectiveOn: '1950-01-01' })).toMatchObject({
      fields: { effectiveOn: words },
    })
    const back = { commandId: newId(), businessId: owner.businessId, remedyId: asked.commandId }
    expect((await takeBackRemedy(owner, back)).ok).toBe(true)
    expect(await story('1950-01-01')).toMatchObject({
      since: null,
      sinceProblem: expect.stringMatching(words[0] ?? ''),
    })
    expect(await story('2099-01-01')).toMatchObject({
      since: null,
      sinceProblem: expect.stringMatching(/still to come/),
    })
    expect(await story('2024-03-01')).toMatchObject({ sinceProblem: null, since: { date: '2024-03-01' } })
  })

  test('a second one is judged since the first, and the first until the second', async () => {
    for (const day of ['2023-11-01', '2024-06-01']) expect((await recordRemedy(owner, remedy(day, day))).ok).toBe(true)
    const { remedies, fault } = await story()
    expect(remedies.map((one) => [one.remedy, one.isNewest])).toEqual([
      ['2024-06-01', true],
      ['2023-11-01', false],
    ])
    const [second, first] = remedies
    expect(first?.watch.since.count).toBe(second?.watch.before.count)
    const all = (first?.watch.before.count ?? 0) + (first?.watch.since.count ?? 0) + (second?.watch.since.count ?? 0)
    expect(all).toBe(fault.observed)
  })
})

describe('the story of a repeat fault', () => {
  test('its days add up to the counts that rank it', async () => {
    const { fault, since } = await story('2024-03-01')
    const cells = await inScope(business.scope, async (tx) =>
      (await readFaultCells(tx, owner.businessId, [{ ...pair(), modelVersion: fault.modelVersion }]))(pair()),
    )
    const sum = (key: 'count' | 'expected') => cells.reduce((total, cell) => total + cell[key], 0)
    expect(sum('count')).toBe(fault.observed)
    expect(sum('expected')).toBeCloseTo(fault.expected, 9)
    expect((since?.before.count ?? 0) + (since?.since.count ?? 0)).toBe(fault.observed)
    // Nothing changed in this tank: its rate is eight times the route's from first to last.
    expect((await story()).visits.filter(({ leftOut }) => leftOut === null)).toHaveLength(fault.observed)
    expect(since?.words).toMatch(/No change that chance would not explain/)
  })

  test('hints at the refugium, which all three planted tanks were given and no other', async () => {
    const { hints } = await story()
    expect(hints.offenders).toBeGreaterThanOrEqual(2)
    expect(hints.hints[0]).toMatchObject({ factor: 'stringyRefugium', standsOut: true, othersWith: expect.any(Number) })
    expect(hints.hints.filter((hint) => hint.standsOut)).toHaveLength(1)
    expect(hints.classic).toMatchObject({ factor: 'stringyRefugium', hasIt: true })
  })

  test('stands above the mean of the tanks with such a device', async () => {
    const { own, mean, fault } = await story()
    expect(own.at(-1)?.count).toBeGreaterThanOrEqual(fault.observed)
    expect(own.at(-1)?.count ?? 0).toBeGreaterThan(mean.at(-1)?.upper ?? Number.POSITIVE_INFINITY)
  })
})

test('needs over time: the route, one class, one tank beside it', async () => {
  const route = await needsOverTime(owner, {}, NOW)
  const skimmers = await needsOverTime(owner, { equipmentClass: MODE.equipmentClass, tankId: offender }, NOW)
  expect(route.tanks).toBe(40)
  expect(route.mean.at(-1)?.mean ?? 0).toBeGreaterThan(skimmers.mean.at(-1)?.mean ?? Number.POSITIVE_INFINITY)
  expect(skimmers.own.length).toBeGreaterThan(3)
  expect(skimmers.className).toBe('Protein skimmer')
})

describe('two people on the same tanks', () => {
  // Truth: ten heaters looked at by turns; one says "needs it" from 20 % wear on, the other from 60 % on.
  test('the one with the lower threshold is named, and a need left open is not found again', async () => {
    const { businessId, scope, clientId } = business
    const people = [newId(), newId()] as const
    const devices = business.devices.filter((device) => device.equipmentClass === 'protein-skimmer').slice(0, 10)
    await inScope(
      scope,
      async (tx) => {
        for (const [place, id] of people.entries())
          await tx.person.create({ data: { businessId, id, name: place === 0 ? 'Asha' : 'Ben', isTechnician: true } })
        const site = await tx.site.findFirstOrThrow({ where: { businessId } })
        for (const [number, device] of devices.entries())
          for (let week = 0; week < 24; week++) {
            const visitId = newId()
            const day = asDbDate(
              new Date(Date.UTC(2026, 1, 2) + (week * 7 + (number % 5)) * 86_400_000).toISOString().slice(0, 10),
            )
            const tankId = business.tankId.get(device.tank) ?? ''
            const whose = week % 2
            const visit = { businessId, id: visitId, clientId, siteId: site.id, tankId, kind: 'routine', state: 'done' }
            await tx.visit.create({
              data: { ...visit, timeZone: 'UTC', localDate: day, technicianId: people[whose] ?? null },
            })
            const found = (number * 7 + week * 3) % 10 < (whose === 0 ? 6 : 2)
            const about = { businessId, tankId, slotId: device.slotId, equipmentId: device.id, visitId, madeAt: day }
            await tx.finding.create({
              data: {
                ...{
                  ...about,
                  id: newId(),
                  clientId,
                  equipmentClass: device.equipmentClass,
                  failureMode: 'protein-skimmer/out-of-tune',
                },
                ...{ asFound: found ? 'needs_it' : 'ok', depth: 'running', foundOn: day },
              },
            })
            // Every second need is left open: it is not counted again until somebody puts it right.
            if (found && week % 4 < 2)
              await tx.renewal.create({
                data: {
                  ...about,
                  id: newId(),
                  failureMode: 'protein-skimmer/out-of-tune',
                  reason: 'found',
                  renewedOn: day,
                },
              })
          }
      },
      { timeoutMs: 60_000 },
    )
    const { pairs, looks } = (await peopleComparison(owner, NOW)) ?? expect.fail()
    const [both] = pairs
    expect(both).toMatchObject({ oneName: 'Asha', otherName: 'Ben', differ: true, shared: 10 })
    expect(both?.words).toMatch(/Asha says “needs it” sooner than Ben/)
    expect(looks).toBeLessThan(240) // open needs were left out
  })
})
