import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { answersGiven, lastAnswer } from '@/lib/office/intervals/answers'
import { decideInterval, setClientCost, setInterval } from '@/lib/office/intervals/commands'
import { proposedIntervals } from '@/lib/office/intervals/queries'
import { takeBackAnswer } from '@/lib/office/intervals/take-back'
import { dayOf } from '@/lib/office/lanes/day-numbers'
import { rebuildDerived, refitLifeModels } from '@/lib/office/lanes/rebuild'
import { inScope } from '@/lib/platform/db/scope'
import { findMode } from '@/lib/trade'
import { testDatabase } from '../../setup/database'
import { writeSimulatedBusiness } from '../due/simulated-business'

const TODAY = Math.floor(Date.UTC(2026, 0, 5) / 86_400_000)
let business: Awaited<ReturnType<typeof writeSimulatedBusiness>>
let owner: Actor

beforeAll(async () => {
  await testDatabase()
  business = await writeSimulatedBusiness(11, { tankCount: 30, weeks: 120 })
  const { businessId } = business
  owner = { businessId, personId: newId(), membershipId: newId(), roles: ['owner'], name: 'Owner' }
  await inScope(business.scope, (tx) => tx.person.create({ data: { businessId, id: owner.personId, name: 'Owner' } }))
  await refitLifeModels(business.scope, TODAY)
})

const dueItem = (equipmentId: string, careTask: string) =>
  inScope(business.scope, (tx) =>
    tx.dueItem.findUniqueOrThrow({
      where: { businessId_equipmentId_careTask: { businessId: owner.businessId, equipmentId, careTask } },
    }),
  )
/** A device of the group whose age is known and that nothing is open on: its due day can be counted by hand. */
async function runningIn({ careTask, devices }: Group) {
  for (const { equipmentId } of devices) {
    const { failureMode, reason } = await dueItem(equipmentId, careTask)
    if ((reason as { rule: string }).rule !== 'cheapest') continue
    const lane = await inScope(business.scope, (tx) =>
      tx.lane.findFirstOrThrow({ where: { equipmentId, failureMode } }),
    )
    if (lane.originOn) return { equipmentId, failureMode, originOn: lane.originOn }
  }
  throw new Error('no device of the group has a known age')
}
async function largest() {
  const { groups } = await proposedIntervals(owner)
  const group = groups.find((one) => one.intervalDays !== null && one.devices.length > 1)
  if (!group) throw new Error('the simulation proposes nothing')
  return group
}
type Group = Awaited<ReturnType<typeof largest>>
const answer = (group: Group, decision: 'accepted' | 'declined', equipmentIds: string[]) => ({
  ...{ commandId: newId(), businessId: owner.businessId, careTask: group.careTask, decision, equipmentIds },
  ...{ intervalDays: group.intervalDays, formerDays: group.formerDays },
})

describe('what the owner is asked', () => {
  test('the groups say from what to what, at which tanks, and what it saves with limits around it', async () => {
    const { groups } = await proposedIntervals(owner)
    expect(groups.length).toBeGreaterThan(0)
    for (const { saving, devices, intervalDays, formerDays } of groups) {
      expect(intervalDays).not.toBe(formerDays)
      expect(devices.length).toBeGreaterThan(0)
      expect(saving.mean).toBeGreaterThan(0)
      expect(saving.lower).toBeLessThanOrEqual(saving.mean)
      expect(saving.upper).toBeGreaterThanOrEqual(saving.mean)
      expect(['almost surely', 'probably']).toContain(saving.certainty)
    }
  })

  test('until a question is answered the due dates keep to the interval in force, however often the model is refitted', async () => {
    const before = await inScope(business.scope, (tx) =>
      tx.dueItem.findMany({ select: { equipmentId: true, careTask: true, intervalDays: true } }),
    )
    await refitLifeModels(business.scope, TODAY + 7)
    for (const { equipmentId, careTask, intervalDays } of before.slice(0, 50))
      expect((await dueItem(equipmentId, careTask)).intervalDays).toBe(intervalDays)
  })

  test('yes: the due date follows at once and the question is gone; asked twice, the command is done once', async () => {
    const group = await largest()
    const running = await runningIn(group)
    const first = { equipmentId: running.equipmentId }
    const input = answer(group, 'accepted', [first.equipmentId])
    expect(await decideInterval(owner, input)).toEqual({ ok: true, value: { devices: 1 } })
    expect(await decideInterval(owner, input)).toEqual({ ok: true, value: { devices: 1 } })
    const item = await dueItem(first.equipmentId, group.careTask)
    expect(item.intervalDays).toBe(group.intervalDays)
    expect(item.proposal).toBeNull()
    expect(item.failureMode).toBe(running.failureMode)
    expect(dayOf(item.dueOn ?? new Date(0)) - dayOf(running.originOn)).toBe(group.intervalDays)
    const choices = await inScope(business.scope, (tx) => tx.intervalChoice.count())
    expect(choices).toBe(1)
  })

  test('no: the question is gone, the interval stays, and the next refit does not ask again', async () => {
    const group = await largest()
    const [first] = group.devices
    if (!first) throw new Error('no device')
    await decideInterval(owner, answer(group, 'declined', [first.equipmentId]))
    expect(await dueItem(first.equipmentId, group.careTask)).toMatchObject({
      intervalDays: group.formerDays,
      proposal: null,
    })
    await refitLifeModels(business.scope, TODAY + 14)
    expect((await dueItem(first.equipmentId, group.careTask)).proposal).toBeNull()
  })

  test('an answer stands in the list with who gave it, and turns round: yes goes back, no is taken after all', async () => {
    const group = await largest()
    const ids = group.devices.map(({ equipmentId }) => equipmentId).slice(0, 2)
    const yes = answer(group, 'accepted', ids)
    await decideInterval(owner, yes)
    expect((await answersGiven(owner))[0]).toMatchObject({
      ...{ answerId: yes.commandId, decision: 'accepted', personName: 'Owner', devices: 2, standing: 2 },
      ...{ intervalDays: group.intervalDays, formerDays: group.formerDays, taskName: group.taskName },
    })
    const turn = (answerId: string) =>
      takeBackAnswer(owner, { commandId: newId(), businessId: owner.businessId, answerId })
    expect(await turn(yes.commandId)).toEqual({ ok: true, value: { devices: 2 } })
    for (const id of ids) expect((await dueItem(id, group.careTask)).intervalDays).toBe(group.formerDays)
    expect(await turn(yes.commandId)).toMatchObject({ ok: false, reason: 'changed' })
    expect((await answersGiven(owner)).find(({ answerId }) => answerId === yes.commandId)?.standing).toBe(0)

    const [first] = ids
    if (!first) throw new Error('no device')
    const no = answer(group, 'declined', [first])
    expect(await decideInterval(owner, no)).toMatchObject({ ok: true })
    const asked = { equipmentId: first, careTask: group.careTask }
    expect(await lastAnswer(owner, asked)).toMatchObject({
      ...{ decision: 'declined', intervalDays: group.intervalDays, personName: 'Owner' },
    })
    expect(await turn(no.commandId)).toEqual({ ok: true, value: { devices: 1 } })
    expect((await dueItem(first, group.careTask)).intervalDays).toBe(group.intervalDays)
    expect(await lastAnswer(owner, asked)).toMatchObject({ decision: 'accepted', intervalDays: group.intervalDays })
    const technician = { ...owner, roles: ['technician' as const] }
    const again = { commandId: newId(), businessId: owner.businessId, answerId: no.commandId }
    expect(await takeBackAnswer(technician, again)).toMatchObject({ reason: 'not-allowed' })
    // As it was, for the tests that follow.
    const [newest] = await answersGiven(owner)
    await turn(newest?.answerId ?? '')
  })

  test('a question that has changed meanwhile is not answered by an old page', async () => {
    const group = await largest()
    const stale = {
      ...answer(
        group,
        'accepted',
        group.devices.map((one) => one.equipmentId),
      ),
      intervalDays: 7777,
    }
    expect(await decideInterval(owner, stale)).toMatchObject({ ok: false, reason: 'changed' })
  })

  test('a technician is not asked; another business is refused', async () => {
    const group = await largest()
    const input = answer(
      group,
      'accepted',
      group.devices.map((one) => one.equipmentId),
    )
    expect(await decideInterval({ ...owner, roles: ['technician'] }, input)).toMatchObject({ reason: 'not-allowed' })
    expect(await decideInterval({ ...owner, businessId: newId() }, input)).toMatchObject({ ok: false })
  })
})

describe('an interval of the owner’s own', () => {
  test('holds for that device, and follows the slot when the device is swapped', async () => {
    const device = business.devices.find((one) => one.equipmentClass === 'return-pump')
    if (!device) throw new Error('no pump')
    const item = await inScope(business.scope, (tx) =>
      tx.dueItem.findFirstOrThrow({ where: { equipmentId: device.id } }),
    )
    const input = { commandId: newId(), businessId: owner.businessId, equipmentId: device.id, careTask: item.careTask }
    expect(await setInterval(owner, { ...input, weeks: '17' })).toMatchObject({ ok: true })
    expect((await dueItem(device.id, item.careTask)).intervalDays).toBe(119)
    const swapped = newId()
    await inScope(business.scope, async (tx) => {
      const { businessId } = owner
      const on = new Date('2026-01-06')
      await tx.equipment.update({
        where: { businessId_id: { businessId, id: device.id } },
        data: { removedOn: on, removedBecauseMode: item.failureMode },
      })
      const tankId = business.tankId.get(device.tank) ?? ''
      const { slotId, equipmentClass } = device
      await tx.equipment.create({
        data: {
          businessId,
          id: swapped,
          tankId,
          slotId,
          equipmentClass,
          label: 'New pump',
          installedOn: on,
          replacesId: device.id,
        },
      })
      await tx.finding.create({
        data: {
          ...{
            businessId,
            id: newId(),
            clientId: business.clientId,
            tankId,
            slotId,
            equipmentId: swapped,
            equipmentClass,
          },
          ...{ failureMode: item.failureMode, asFound: 'ok', depth: 'opened', foundOn: on, madeAt: on },
        },
      })
    })
    await refitLifeModels(business.scope, TODAY + 15)
    expect((await dueItem(swapped, item.careTask)).intervalDays).toBe(119)
  })

  test('never goes beyond an age limit', async () => {
    const { businessId } = owner
    const device = business.devices[0]
    if (!device) throw new Error('no device')
    await inScope(business.scope, (tx) =>
      tx.dueItem.create({
        data: {
          ...{ businessId, equipmentId: device.id, careTask: 'heater/replace', failureMode: 'heater/stuck' },
          ...{
            equipmentClass: 'heater',
            tankId: business.tankId.get(device.tank) ?? '',
            modelVersion: 1,
            costVersion: 0,
          },
        },
      }),
    )
    const input = { commandId: newId(), businessId, equipmentId: device.id, careTask: 'heater/replace' }
    for (const weeks of ['', '130'])
      expect(await setInterval(owner, { ...input, weeks })).toMatchObject({
        ok: false,
        fields: { weeks: [expect.stringContaining('At most 104 weeks')] },
      })
  })
})

describe('what a need costs at a client', () => {
  const costs = { travel: '', goodwill: '', animalsPerDay: '' }
  test('is added to a call-out, and to each unseen day of a dangerous fault, and never makes the cheapest interval longer', async () => {
    const { businessId, clientId } = business
    const read = () =>
      inScope(business.scope, (tx) =>
        tx.dueItem.findMany({
          where: { reason: { path: ['costs'], not: {} } },
          orderBy: [{ equipmentId: 'asc' }, { careTask: 'asc' }],
        }),
      )
    type Reason = { costs: { callOut: number; hiddenCostPerDay: number }; interval: { cheapestDays: number | null } }
    const before = await read()
    const stated = await setClientCost(owner, {
      ...{ commandId: newId(), businessId, clientId, ...costs, travel: '30', goodwill: '12.50', animalsPerDay: '4' },
    })
    expect(stated).toMatchObject({ ok: true })
    const after = await read()
    expect(after.length).toBe(before.length)
    expect(after.some((item) => findMode(item.failureMode)?.safetyCritical)).toBe(true)
    expect(after.some((item) => !findMode(item.failureMode)?.safetyCritical)).toBe(true)
    after.forEach((item, index) => {
      const [now, then] = [item.reason as Reason, before[index]?.reason as Reason]
      expect(now.costs.callOut - then.costs.callOut).toBe(4250)
      const dangerous = findMode(item.failureMode)?.safetyCritical ?? false
      expect(now.costs.hiddenCostPerDay - then.costs.hiddenCostPerDay).toBe(dangerous ? 400 : 0)
      expect(now.interval.cheapestDays ?? Infinity).toBeLessThanOrEqual(then.interval.cheapestDays ?? Infinity)
    })
  })

  test('an amount that is none is said beside its field', async () => {
    const { businessId, clientId } = business
    expect(
      await setClientCost(owner, { commandId: newId(), businessId, clientId, ...costs, goodwill: 'a lot' }),
    ).toMatchObject({ ok: false, fields: { goodwill: [expect.stringContaining('Write an amount')] } })
  })
})

describe('what the parts of the work cost', () => {
  test('is part of doing it in its turn, of finding it and of coming out for it; one named for the device goes before its class', async () => {
    const { businessId } = owner
    const pumps = business.devices.filter((one) => one.equipmentClass === 'circulation-pump').slice(0, 2)
    const [one, other] = pumps
    if (!one || !other) throw new Error('no pumps')
    const item = await inScope(business.scope, (tx) => tx.dueItem.findFirstOrThrow({ where: { equipmentId: one.id } }))
    const costsOf = async (equipmentId: string) =>
      (
        (await dueItem(equipmentId, item.careTask)).reason as {
          costs: { planned: number; found: number; callOut: number }
        }
      ).costs
    const [before, beforeOther] = [await costsOf(one.id), await costsOf(other.id)]
    await inScope(business.scope, async (tx) => {
      const fit = { businessId, equipmentClass: one.equipmentClass, careTask: item.careTask }
      for (const [costMinor, equipmentId] of [
        [900, null],
        [2500, one.id],
      ] as const) {
        const partId = newId()
        await tx.part.create({ data: { businessId, id: partId, name: `Part of ${costMinor}`, costMinor } })
        await tx.partFit.create({ data: { ...fit, id: newId(), partId, equipmentId, quantity: 2 } })
      }
    })
    await rebuildDerived(business.scope)
    const [after, afterOther] = [await costsOf(one.id), await costsOf(other.id)]
    for (const key of ['planned', 'found', 'callOut'] as const) {
      expect(after[key] - before[key]).toBe(5000)
      expect(afterOther[key] - beforeOther[key]).toBe(1800)
    }
  })
})
