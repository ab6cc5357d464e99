import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { mergeClients, mergeSites } from '@/lib/office/clients/commands'
import { duplicateClients, findClient, findSite, listClients } from '@/lib/office/clients/queries'
import type { Actor } from '@/lib/office/frame/actor'
import { addAgreement, mergeTanks } from '@/lib/office/tanks/commands'
import { findTank, listTanks } from '@/lib/office/tanks/queries'
import { testDatabase } from '../../setup/database'
import { accepted, fresh, look, makeBusiness, makeClient, makeSite, makeTank, makeVisit } from './register'

const ALL = { q: '', archived: '', page: 1 } as const
let owner: Actor
beforeAll(async () => {
  await testDatabase()
})

async function pairOfClients() {
  owner = await makeBusiness('Harbour Lane')
  const survivorId = await makeClient(owner, { name: 'Port Ellery School' })
  const duplicateId = await makeClient(owner, { name: 'port ellery SCHOOL Ltd' })
  const siteId = await makeSite(owner, duplicateId)
  const tankId = await makeTank(owner, siteId)
  return { survivorId, duplicateId, siteId, tankId }
}

describe('merging clients', () => {
  test('finds everything of the duplicate through the survivor and rewrites no history', async () => {
    const { survivorId, duplicateId, siteId, tankId } = await pairOfClients()
    const past = await makeVisit(owner, tankId, '2026-02-03', 'done')
    const ahead = await makeVisit(owner, tankId, '2030-02-03', 'booked')
    const before = await look(owner, (tx) => tx.visit.findFirst({ where: { id: past } }))
    const answer = await mergeClients(owner, { ...fresh(owner), survivorId, duplicateId })
    expect(accepted(answer)).toEqual({ survivorId, moved: 2 })
    expect(await look(owner, (tx) => tx.visit.findFirst({ where: { id: past } }))).toEqual(before)
    const booked = await look(owner, (tx) => tx.visit.findFirst({ where: { id: ahead } }))
    expect(booked?.clientId).toBe(survivorId)
    const page = await findClient(owner, survivorId)
    expect(page?.sites.map((site) => site.id)).toEqual([siteId])
    expect(page?.visits).toBe(1)
    expect(page?.mergedFrom.map((client) => client.id)).toEqual([duplicateId])
    expect((await findClient(owner, duplicateId))?.mergedIntoId).toBe(survivorId)
    expect((await listClients(owner, ALL)).rows.map((row) => row.id)).toEqual([survivorId])
    expect((await listTanks(owner, ALL)).rows[0]?.clientId).toBe(survivorId)
  })

  test('a chain of merges ends at one survivor, one step away', async () => {
    const { survivorId, duplicateId } = await pairOfClients()
    const last = await makeClient(owner, { name: 'Third entry' })
    accepted(await mergeClients(owner, { ...fresh(owner), survivorId, duplicateId }))
    accepted(await mergeClients(owner, { ...fresh(owner), survivorId: last, duplicateId: survivorId }))
    const rows = await look(owner, (tx) => tx.client.findMany({ where: { mergedIntoId: last } }))
    expect(rows.map((row) => row.id).sort()).toEqual([survivorId, duplicateId].sort())
  })

  test('what was merged away cannot be merged again, also at the same time', async () => {
    const { survivorId, duplicateId } = await pairOfClients()
    const input = { ...fresh(owner), survivorId, duplicateId }
    const answers = await Promise.all([mergeClients(owner, input), mergeClients(owner, input)])
    expect(answers[0]).toEqual(answers[1])
    expect(await mergeClients(owner, { ...fresh(owner), survivorId, duplicateId })).toMatchObject({
      reason: 'not-found',
    })
    const back = { ...fresh(owner), survivorId: duplicateId, duplicateId: survivorId }
    expect(await mergeClients(owner, back)).toMatchObject({ reason: 'not-found' })
  })

  test('another business cannot merge them', async () => {
    const { survivorId, duplicateId } = await pairOfClients()
    const stranger = await makeBusiness('Stranger')
    const input = { ...fresh(stranger), survivorId, duplicateId }
    expect(await mergeClients(stranger, input)).toMatchObject({ ok: false, reason: 'not-found' })
    expect((await findClient(owner, duplicateId))?.mergedIntoId).toBeNull()
  })

  test('entries of the same name are suggested, others are not', async () => {
    const { survivorId, duplicateId } = await pairOfClients()
    await makeClient(owner, { name: 'Marram Library' })
    const { groups } = await duplicateClients(owner)
    expect(groups.map((group) => [group.because, group.entries.map((entry) => entry.id).sort()])).toEqual([
      ['name', [survivorId, duplicateId].sort()],
    ])
  })
})

describe('merging sites', () => {
  test('tanks, contacts and access notes of both stand at the survivor', async () => {
    owner = await makeBusiness('Harbour Lane')
    const clientId = await makeClient(owner, { name: 'Kelp Quay' })
    const contacts = [{ name: 'Ines', role: '', phone: '', email: '' }]
    const survivorId = await makeSite(owner, clientId, { name: 'Bar', accessNote: 'Ring twice' })
    const duplicateId = await makeSite(owner, clientId, { name: 'The bar', accessNote: 'Key in the safe', contacts })
    const tankId = await makeTank(owner, duplicateId)
    accepted(await mergeSites(owner, { ...fresh(owner), survivorId, duplicateId }))
    const site = await findSite(owner, survivorId)
    expect(site?.tanks.map((tank) => tank.id)).toEqual([tankId])
    expect(site?.fields.accessNote).toBe('Ring twice\nKey in the safe')
    expect(site?.fields.contacts.map((contact) => contact.name)).toEqual(['Ines'])
  })

  test('sites of two clients are refused in words', async () => {
    owner = await makeBusiness('Harbour Lane')
    const survivorId = await makeSite(owner, await makeClient(owner, { name: 'One' }))
    const duplicateId = await makeSite(owner, await makeClient(owner, { name: 'Two' }))
    const answer = await mergeSites(owner, { ...fresh(owner), survivorId, duplicateId })
    expect(answer).toMatchObject({ reason: 'does-not-fit', words: expect.stringContaining('two clients') })
  })
})

describe('merging tanks', () => {
  test('devices, booked visits, the agreement and every warning go over; past visits stay and are found', async () => {
    owner = await makeBusiness('Harbour Lane')
    const siteId = await makeSite(owner, await makeClient(owner, { name: 'Kelp Quay' }))
    const device = { equipmentClass: 'heater', label: 'Heater', installed: 'unknown', installedOn: '' } as const
    const equipment = [{ ...device, id: newId(), confirmedNew: false, note: '' }]
    const survivorId = await makeTank(owner, siteId, { dangerousAnimals: 'Lionfish', isolator: 'Board B, 7' })
    const duplicateId = await makeTank(owner, siteId, {
      name: 'hall tank',
      dangerousAnimals: 'Long-spined urchin',
      equipment,
    })
    await agree(duplicateId)
    const past = await makeVisit(owner, duplicateId, '2026-02-03', 'done')
    await makeVisit(owner, duplicateId, '2030-02-03', 'booked')
    const fault = { equipmentClass: 'protein-skimmer', failureMode: 'protein-skimmer/wheel-clogged' }
    const day = new Date('2026-02-01')
    const remedy = { ...fault, remedy: 'Finer screen', effectiveOn: day, decidedOn: day }
    await look(owner, (tx) =>
      tx.faultRemedy.create({ data: { ...remedy, businessId: owner.businessId, id: newId(), tankId: duplicateId } }),
    )
    accepted(await mergeTanks(owner, { ...fresh(owner), survivorId, duplicateId }))
    const tank = await findTank(owner, survivorId)
    expect(tank?.devices.map((row) => row.id)).toEqual([equipment[0]?.id])
    expect(tank?.lastVisit?.id).toBe(past)
    expect(tank?.nextVisit?.on).toBe('2030-02-03')
    expect(tank?.agreement?.everyDays).toBe(14)
    expect(tank?.dangerousAnimals).toBe('Lionfish\nLong-spined urchin')
    expect(tank?.isolator).toBe('Board B, 7')
    const decided = await look(owner, (tx) => tx.faultRemedy.findMany({ where: { correctedBy: { is: null } } }))
    expect(decided).toMatchObject([{ tankId: survivorId, remedy: 'Finer screen' }])
    const kept = await look(owner, (tx) => tx.visit.findFirst({ where: { id: past } }))
    expect(kept?.tankId).toBe(duplicateId)
    expect((await listTanks(owner, ALL)).rows.map((row) => row.id)).toEqual([survivorId])
  })
})

async function agree(tankId: string): Promise<void> {
  const every = { every: '2', everyUnit: 'weeks' as const, anchorOn: '2026-01-05', startsOn: '2026-01-05' }
  const price = { monthlyFee: '184.00', currency: 'GBP', includes: '', purchaseOrder: '' }
  const rest = { visitMinutes: '45', preferredPersonId: owner.personId }
  accepted(await addAgreement(owner, { ...fresh(owner), tankId, ...every, ...price, ...rest }))
}
