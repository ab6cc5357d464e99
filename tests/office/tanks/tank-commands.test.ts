import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import {
  addAgreement,
  addEquipment,
  addTank,
  archiveTank,
  changeAgreement,
  editTank,
  endAgreement,
  handOverTank,
  replaceEquipment,
  retireEquipment,
} from '@/lib/office/tanks/commands'
import { findTank, findTankForm, listTanks } from '@/lib/office/tanks/queries'
import { EMPTY_TANK } from '@/lib/office/tanks/schema'
import { inScope } from '@/lib/platform/db/scope'
import { testDatabase } from '../../setup/database'
import { accepted, fresh, look, makeBusiness, makeClient, makeSite, makeTank, makeVisit } from '../clients/register'

const ALL = { q: '', archived: '', page: 1 } as const
const UNKNOWN = { installed: 'unknown', installedOn: '', confirmedNew: false, note: '' } as const
let owner: Actor
let clientId: string
let siteId: string
beforeAll(async () => {
  await testDatabase()
  owner = await makeBusiness('Harbour Lane')
  clientId = await makeClient(owner, { name: 'Port Ellery School' })
  siteId = await makeSite(owner, clientId, { name: 'Hall', address: '4 Quay Road', city: 'Port Ellery' })
})

describe('taking over a tank', () => {
  test('the whole form comes back: volume in litres, marks, devices with their age or "unknown"', async () => {
    const known = { ...UNKNOWN, installed: 'on', installedOn: '2025-03-01', confirmedNew: true } as const
    const equipment = [
      { id: newId(), equipmentClass: 'protein-skimmer', label: 'Skimmer', ...known },
      // A day typed before somebody said "unknown" does not count.
      { id: newId(), equipmentClass: 'heater', label: 'Heater, left', ...known, installed: 'unknown' as const },
    ]
    const tankId = await makeTank(owner, siteId, {
      name: 'Hall reef',
      volume: '62.5',
      volumeUnit: 'us_gal',
      levelMarkDisplayMm: '35.5',
      faultsAtTakeover: 'Weir comb broken',
      isolator: 'Board B, 7',
      shutOffs: 'Under the sink',
      equipment,
    })
    const tank = await findTank(owner, tankId)
    // 62.5 US gallons of 231 cubic inches, 3.785411784 L each (NIST Handbook 44, appendix C).
    expect(tank?.volumeL).toBe(236.588)
    expect(tank).toMatchObject({
      levelMarkDisplayMm: 35.5,
      faultsAtTakeover: 'Weir comb broken',
      isolator: 'Board B, 7',
    })
    const devices = tank?.devices.map(({ label, installedOn, confirmedNew, firstSeenOn, slotId }) => ({
      label,
      installedOn,
      confirmedNew,
      firstSeenOn,
      ownSlot: equipment.some((row) => row.id === slotId),
    }))
    expect(devices).toEqual([
      { label: 'Heater, left', installedOn: null, confirmedNew: false, firstSeenOn: '2026-01-05', ownSlot: true },
      { label: 'Skimmer', installedOn: '2025-03-01', confirmedNew: true, firstSeenOn: '2026-01-05', ownSlot: true },
    ])
    expect(tank?.devices.map((device) => device.age)[0]).toBe('unknown')
  })

  test('sent twice at the same time it is taken over once', async () => {
    const row = { id: newId(), equipmentClass: 'heater', label: 'Heater', ...UNKNOWN }
    const input = { ...fresh(owner), ...EMPTY_TANK, siteId, name: 'Twice', profile: 'reef', volume: '90' } as const
    const send = () => addTank(owner, { ...input, equipment: [row] })
    const answers = await Promise.all([send(), send()])
    expect(answers[0]).toEqual({ ok: true, value: { tankId: input.commandId } })
    expect(answers[1]).toEqual(answers[0])
    expect((await listTanks(owner, { ...ALL, q: 'twice' })).total).toBe(1)
    expect((await findTank(owner, input.commandId))?.devices).toHaveLength(1)
  })

  test('an unknown kind of equipment and a day to come are refused at their rows, and nothing is written', async () => {
    const equipment = [
      { id: newId(), equipmentClass: 'no-such-thing', label: 'X', ...UNKNOWN },
      {
        id: newId(),
        equipmentClass: 'heater',
        label: 'H',
        ...UNKNOWN,
        installed: 'on',
        installedOn: '2090-01-01',
      } as const,
    ]
    const input = { ...fresh(owner), ...EMPTY_TANK, siteId, name: 'Refused', profile: 'reef', volume: '90' } as const
    expect(await addTank(owner, { ...input, equipment })).toMatchObject({
      reason: 'invalid',
      fields: { 'equipment.0.equipmentClass': expect.any(Array), 'equipment.1.installedOn': expect.any(Array) },
    })
    expect((await listTanks(owner, { ...ALL, q: 'refused' })).total).toBe(0)
    // The same id may be sent again once it is put right.
    expect((await addTank(owner, { ...input, equipment: [] })).ok).toBe(true)
  })

  test('a gallon figure left as it was shown does not move the stored litres', async () => {
    await look(owner, (tx) =>
      tx.business.update({ where: { id: owner.businessId }, data: { volumeUnit: 'us_gal', gallon: 'us' } }),
    )
    const tankId = await makeTank(owner, siteId, { name: 'Metric', volume: '450' })
    const form = await findTankForm(owner, tankId)
    if (!form) throw new Error('the tank has no form')
    expect(form.fields.volume).toBe('118.88')
    accepted(await editTank(owner, { ...fresh(owner), ...EMPTY_TANK, ...form.fields, tankId, name: 'Metric still' }))
    expect((await findTank(owner, tankId))?.volumeL).toBe(450)
    await look(owner, (tx) => tx.business.update({ where: { id: owner.businessId }, data: { volumeUnit: 'L' } }))
  })
})

describe('equipment', () => {
  test('a replacement takes the place of the old device, which ends with its cause', async () => {
    const tankId = await makeTank(owner, siteId, { name: 'Pumps' })
    const device = { tankId, slotId: '', equipmentClass: 'return-pump', label: 'Return pump', ...UNKNOWN }
    const old = accepted(await addEquipment(owner, { ...fresh(owner), ...device }))
    const mode = 'return-pump/no-such-mode'
    const swap = {
      equipmentId: old.equipmentId,
      on: '2026-03-02',
      label: 'Return pump 2',
      isNew: 'yes',
      note: '',
    } as const
    expect(await replaceEquipment(owner, { ...fresh(owner), ...swap, becauseMode: mode })).toMatchObject({
      reason: 'invalid',
      fields: { becauseMode: expect.any(Array) },
    })
    const two = await Promise.all([
      replaceEquipment(owner, { ...fresh(owner), ...swap, becauseMode: '' }),
      replaceEquipment(owner, { ...fresh(owner), ...swap, becauseMode: '' }),
    ])
    expect(two.map((answer) => answer.ok).sort()).toEqual([false, true])
    const rows = await look(owner, (tx) =>
      tx.equipment.findMany({ where: { tankId }, orderBy: { removedOn: { sort: 'asc', nulls: 'last' } } }),
    )
    expect(rows).toHaveLength(2)
    expect(rows[0]?.removedOn).toEqual(new Date('2026-03-02'))
    expect(rows[1]).toMatchObject({
      replacesId: old.equipmentId,
      slotId: old.equipmentId,
      installedOn: new Date('2026-03-02'),
      installedConfirmedNew: true,
    })
  })

  test('a full place takes no second device; a kept one takes the next', async () => {
    const tankId = await makeTank(owner, siteId, { name: 'Places' })
    const device = { tankId, equipmentClass: 'heater', label: 'Heater', ...UNKNOWN }
    const first = accepted(await addEquipment(owner, { ...fresh(owner), ...device, slotId: '' }))
    const again = { ...device, slotId: first.equipmentId }
    expect(await addEquipment(owner, { ...fresh(owner), ...again })).toMatchObject({ reason: 'in-use' })
    const retire = { equipmentId: first.equipmentId, on: '2026-03-02', becauseMode: '', keepSlot: true }
    accepted(await retireEquipment(owner, { ...fresh(owner), ...retire }))
    expect((await addEquipment(owner, { ...fresh(owner), ...again })).ok).toBe(true)
  })
})

const AGREED = {
  every: '2',
  everyUnit: 'weeks',
  anchorOn: '2026-01-05',
  startsOn: '2026-01-05',
  visitMinutes: '45',
  monthlyFee: '184.00',
  currency: 'GBP',
  includes: '',
  preferredPersonId: '',
  purchaseOrder: '',
} as const

describe('agreements', () => {
  test('a change ends the old one the day before and keeps what was agreed', async () => {
    const tankId = await makeTank(owner, siteId, { name: 'Agreed' })
    accepted(await addAgreement(owner, { ...fresh(owner), tankId, ...AGREED }))
    const second = await addAgreement(owner, { ...fresh(owner), tankId, ...AGREED })
    expect(second).toMatchObject({ ok: false, reason: 'in-use' })
    const change = { ...AGREED, startsOn: '2026-06-01', monthlyFee: '199.50', every: '10', everyUnit: 'days' } as const
    accepted(await changeAgreement(owner, { ...fresh(owner), tankId, ...change }))
    const { agreement, agreements } = (await findTank(owner, tankId)) ?? {}
    expect(agreement).toMatchObject({ everyDays: 10, monthlyFeeMinor: 19950, startsOn: '2026-06-01', endsOn: null })
    expect(agreements?.[1]).toMatchObject({ everyDays: 14, monthlyFeeMinor: 18400, endsOn: '2026-05-31' })
  })

  test('two first agreements at the same time make one', async () => {
    const tankId = await makeTank(owner, siteId, { name: 'Both at once' })
    const answers = await Promise.all([
      addAgreement(owner, { ...fresh(owner), tankId, ...AGREED }),
      addAgreement(owner, { ...fresh(owner), tankId, ...AGREED }),
    ])
    expect(answers.map((answer) => answer.ok).sort()).toEqual([false, true])
  })

  test('a tank is archived only once its agreement has ended', async () => {
    const tankId = await makeTank(owner, siteId, { name: 'Leaving' })
    const { agreementId } = accepted(await addAgreement(owner, { ...fresh(owner), tankId, ...AGREED }))
    const refusal = await archiveTank(owner, { ...fresh(owner), id: tankId })
    expect(refusal).toMatchObject({ reason: 'in-use', words: expect.stringContaining('agreement') })
    accepted(await endAgreement(owner, { ...fresh(owner), agreementId, endsOn: '2026-02-01' }))
    accepted(await archiveTank(owner, { ...fresh(owner), id: tankId }))
    expect((await listTanks(owner, { ...ALL, q: 'leaving' })).total).toBe(0)
    expect((await listTanks(owner, { ...ALL, q: 'leaving', archived: 'yes' })).total).toBe(1)
  })
})

describe('a tank changes hands', () => {
  test('the new client sees the tank and none of the old client’s visits', async () => {
    const site = await makeSite(owner, clientId, { name: 'Annex' })
    const newClient = await makeClient(owner, { name: 'New tenant' })
    const tankId = await makeTank(owner, site, { name: 'Annex tank' })
    const before = await makeVisit(owner, tankId, '2026-02-03', 'done')
    const booked = await makeVisit(owner, tankId, '2030-02-03', 'booked')
    const input = { tankId, clientId: newClient, siteId: '', on: '2026-03-01' }
    const refusal = await handOverTank(owner, { ...fresh(owner), ...input })
    expect(refusal).toMatchObject({ reason: 'in-use', words: expect.stringContaining('2030-02-03') })
    await look(owner, (tx) => tx.visit.updateMany({ where: { id: booked }, data: { state: 'cancelled' } }))
    const early = await handOverTank(owner, { ...fresh(owner), ...input, on: '2026-02-01' })
    expect(early).toMatchObject({ reason: 'invalid', fields: { on: [expect.stringContaining('2026-02-03')] } })
    accepted(await handOverTank(owner, { ...fresh(owner), ...input }))
    const after = await makeVisit(owner, tankId, '2026-03-10', 'done')
    const seenBy = (id: string) =>
      inScope({ role: 'client', businessId: owner.businessId, personId: newId(), clientId: id }, async (tx) => ({
        tanks: (await tx.tank.findMany({ where: { id: tankId } })).length,
        visits: (await tx.visit.findMany({ where: { tankId, state: 'done' } })).map((visit) => visit.id),
      }))
    expect(await seenBy(newClient)).toEqual({ tanks: 1, visits: [after] })
    expect(await seenBy(clientId)).toEqual({ tanks: 1, visits: [before] })
    expect((await findTank(owner, tankId))?.holders.map(({ clientId: id, until }) => [id, until])).toEqual([
      [clientId, '2026-03-01'],
      [newClient, null],
    ])
    // Back again: the former client's row goes on.
    accepted(await handOverTank(owner, { ...fresh(owner), ...input, clientId, on: '2026-04-01' }))
    expect((await findTank(owner, tankId))?.client.id).toBe(clientId)
  })
})

describe('searching', () => {
  test('every word must stand in the name, client, site or address', async () => {
    const other = await makeClient(owner, { name: 'Kelp Quay Noodle Bar' })
    const bar = await makeSite(owner, other, { name: 'Bar', address: '9 Quay Road', postcode: 'PE1 2QR' })
    const tankId = await makeTank(owner, bar, { name: '100% reef_tank' })
    const idsFor = async (q: string) => (await listTanks(owner, { ...ALL, q })).rows.map((row) => row.id)
    expect(await idsFor('quay NOODLE')).toEqual([tankId])
    expect(await idsFor('pe1 2qr')).toEqual([tankId])
    expect(await idsFor('noodle school')).toEqual([])
    // Signs that a pattern would take for anything stand for themselves.
    expect(await idsFor('100%')).toEqual([tankId])
    expect(await idsFor('0%f_t')).toEqual([])
    // Words do not run over from one field into the next; a page past the end shows the first.
    expect(await idsFor('reef_tankkelp')).toEqual([])
    expect(await listTanks(owner, { ...ALL, q: 'noodle', page: 9 })).toMatchObject({ total: 1, page: 1 })
  })
})

describe('a second business', () => {
  test('sees an empty list and no page, and changes nothing', async () => {
    const tankId = await makeTank(owner, siteId, { name: 'Ours' })
    const stranger = await makeBusiness('Stranger')
    expect(await listTanks(stranger, ALL)).toMatchObject({ total: 0, rows: [] })
    expect(await findTank(stranger, tankId)).toBeNull()
    const id = { ...fresh(stranger), id: tankId }
    expect(await archiveTank(stranger, id)).toMatchObject({ reason: 'not-found' })
    const fields = { ...EMPTY_TANK, siteId, name: 'Taken', profile: 'reef', volume: '1' } as const
    expect(await editTank(stranger, { ...fresh(stranger), ...fields, tankId })).toMatchObject({ reason: 'not-found' })
    expect(await addTank(stranger, { ...fresh(stranger), ...fields, equipment: [] })).toMatchObject({
      reason: 'invalid',
    })
    const device = { tankId, slotId: '', equipmentClass: 'heater', label: 'Heater', ...UNKNOWN }
    expect(await addEquipment(stranger, { ...fresh(stranger), ...device })).toMatchObject({ reason: 'not-found' })
    expect(await addAgreement(stranger, { ...fresh(stranger), tankId, ...AGREED })).toMatchObject({
      reason: 'not-found',
    })
    expect(await findTank(owner, tankId)).toMatchObject({
      name: 'Ours',
      isArchived: false,
      devices: [],
      agreements: [],
    })
  })
})
