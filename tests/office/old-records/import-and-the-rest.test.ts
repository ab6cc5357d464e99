import { beforeEach, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { editClient, mergeClients } from '@/lib/office/clients/commands'
import { EMPTY_CLIENT } from '@/lib/office/clients/schema'
import type { Actor } from '@/lib/office/frame/actor'
import { importRecords, withdrawImport } from '@/lib/office/old-records/commands'
import { dryRunImport, findImport, listImports } from '@/lib/office/old-records/queries'
import { addEquipment } from '@/lib/office/tanks/commands'
import { testDatabase } from '../../setup/database'
import { accepted, fresh, look, makeBusiness, makeClient, makeSite, makeTank, makeVisit } from '../clients/register'
import { textFile } from './as-existing'

// Invented records; what is tested are our own rules (docs/decisions/0008).
const CLIENTS = textFile('clients.csv', 'name,email,address\nAda Bakery,ada@bakery.example,"1 Quay, Port Ellery"\n')
const TANKS = textFile('tanks.csv', 'client,name,kind,volume,every,refugium\nAda Bakery,Counter,reef,120 L,2,yes\n')
const EQUIPMENT = textFile(
  'equipment.csv',
  'tank,equipment,installed\nCounter,protein skimmer,2020-01-05\nCounter,bubble box,\n',
)
const HEAD = 'date,technician,tank,kind,minutes,equipment,looked at,as found,done,part,readings,comment'
const VISITS = textFile(
  'visits.csv',
  `${HEAD}
2024-03-04,Priya,Counter,routine,40,protein skimmer,rotor film,ok,cleaned,,Alk 8.3 dKH; NH4 0.1,door code changed
2024-03-18,Priya,Counter,call-out,55,protein skimmer,wheel clogged,wheel clogged,cleaned,O-ring,,
2024-03-18,Priya,Counter,call-out,55,bubble box,lid cracked,lid cracked,replaced,,,
2024-03-25,Priya,Counter,,50,heater,,ok,,,,
`,
)
const ALL = [CLIENTS, TANKS, EQUIPMENT, VISITS]

let owner: Actor
const bring = async (files = ALL) =>
  accepted(await importRecords(owner, { ...fresh(owner), files, options: {}, mapping: {} }))
const takeBack = (batchId: string) => withdrawImport(owner, { ...fresh(owner), batchId })
const day = (date: Date) => date.toISOString().slice(0, 10)

beforeEach(async () => {
  await testDatabase()
  owner = await makeBusiness('Port Ellery Aquatics')
})

describe('what a row becomes', () => {
  test('a tank with its round, its volume and its refugium; nothing is billed until somebody sets a fee', async () => {
    await bring()
    const tank = await look(owner, (tx) => tx.tank.findFirstOrThrow({ include: { site: true, agreements: true } }))
    expect(tank).toMatchObject({ name: 'Counter', profile: 'reef', hasStringyRefugium: true, site: { name: '1 Quay' } })
    expect(Number(tank.volumeL)).toBe(120)
    expect(tank.agreements).toMatchObject([{ everyDays: 14, monthlyFeeMinor: 0, visitMinutes: 50 }])
    expect(day(tank.agreements[0]?.anchorOn ?? new Date(0))).toBe('2024-03-25')
  })

  test('visits are done ones, with minutes, technician, parts that are not billed, and comments that stay with us', async () => {
    await bring()
    const visits = await look(owner, (tx) =>
      tx.visit.findMany({
        include: { technician: true, visitPrivate: true, partUseds: true },
        orderBy: [{ localDate: 'asc' }],
      }),
    )
    expect(
      visits.map(({ kind, state, outcome, minutes, localDate }) => [kind, state, outcome, minutes, day(localDate)]),
    ).toEqual([
      ['routine', 'done', 'done', 40, '2024-03-04'],
      ['call_out', 'done', 'done', 55, '2024-03-18'],
      ['routine', 'done', 'done', 50, '2024-03-25'],
    ])
    expect(visits.every((visit) => visit.technician?.name === 'Priya' && visit.noteForClient === '')).toBe(true)
    expect(visits.map((visit) => visit.visitPrivate?.noteForUs)).toEqual(['door code changed', undefined, 'heater: ok'])
    expect(visits[1]?.partUseds).toMatchObject([{ description: 'O-ring', billable: false }])
  })

  test('a look counts at the depth its mode needs and renews only its own mode; own words keep their name', async () => {
    await bring()
    const { findings, renewals, words } = await look(owner, async (tx) => ({
      findings: await tx.finding.findMany({ orderBy: [{ foundOn: 'asc' }, { deviceSeq: 'asc' }] }),
      renewals: await tx.renewal.findMany({ orderBy: [{ renewedOn: 'asc' }, { deviceSeq: 'asc' }] }),
      words: await tx.catalogueOverlay.findMany({ orderBy: { slug: 'asc' } }),
    }))
    expect(
      findings.map(({ failureMode, asFound, depth, learnedBy }) => [failureMode, asFound, depth, learnedBy]),
    ).toEqual([
      ['protein-skimmer/impeller-film', 'ok', 'opened', 'look'],
      ['protein-skimmer/wheel-clogged', 'needs_it', 'opened', 'look'],
      ['own:lid cracked', 'needs_it', 'running', 'look'],
    ])
    expect(renewals.map(({ failureMode, reason }) => [failureMode, reason])).toEqual([
      ['protein-skimmer/impeller-film', 'schedule'],
      ['protein-skimmer/wheel-clogged', 'found'],
      ['own:lid cracked', 'found'],
    ])
    const named = new Map(words.map((word) => [`${word.kind} ${word.slug}`, word.name]))
    expect(named.get('class own:bubble box')).toBe('bubble box')
    expect(named.get('mode own:lid cracked')).toBe('lid cracked')
    expect(named.get('class protein-skimmer')).toBe('protein skimmer')
  })

  test('readings keep what was written beside the stored unit', async () => {
    await bring()
    const readings = await look(owner, (tx) => tx.reading.findMany({ orderBy: { quantity: 'asc' } }))
    // One German degree is 10 mg/L CaO, 0.3566 meq/L (DIN 38409-6; from memory). NH4 to N: 14.007 / 18.039 (IUPAC 2021).
    expect(
      readings.map(({ quantity, enteredValue, enteredUnit, unit }) => [quantity, enteredValue, enteredUnit, unit]),
    ).toEqual([
      ['alkalinity', '8.3', 'dKH', 'meq/L'],
      ['totalAmmonia', '0.1', 'mg/L NH4', 'mg/L N'],
    ])
    expect(Number(readings[0]?.value)).toBeCloseTo(8.3 * 0.3566, 3)
    expect(Number(readings[1]?.value)).toBeCloseTo((0.1 * 14.007) / 18.039, 5)
  })

  test('a device keeps its day of installation, which no import can call new to us', async () => {
    await bring()
    const devices = await look(owner, (tx) => tx.equipment.findMany({ orderBy: { label: 'asc' } }))
    expect(
      devices.map(({ label, ownWords, installedOn, firstSeenOn }) => [
        label,
        ownWords,
        installedOn && day(installedOn),
        firstSeenOn && day(firstSeenOn),
      ]),
    ).toEqual([
      ['Bubble box', 'bubble box', null, '2024-03-18'],
      ['Heater', 'heater', null, '2024-03-25'],
      ['Protein skimmer', 'protein skimmer', '2020-01-05', '2024-03-04'],
    ])
    expect(devices.every((device) => !device.installedConfirmedNew)).toBe(true)
  })
})

describe('what is here already', () => {
  const again = async () => (await bring()).added

  test('a client whose name was tidied is still the client of the file', async () => {
    await bring()
    const client = await look(owner, (tx) => tx.client.findFirstOrThrow())
    const name = 'Ada’s Bakery Ltd'
    accepted(await editClient(owner, { ...fresh(owner), ...EMPTY_CLIENT, clientId: client.id, name }))
    expect(await again()).toEqual({ clients: 0, tanks: 0, equipment: 0, visits: 0 })
  })

  test('a tank whose name was changed is still the tank of the files', async () => {
    await bring()
    const { id } = await look(owner, (tx) => tx.tank.findFirstOrThrow())
    await look(owner, (tx) =>
      tx.tank.update({ where: { businessId_id: { businessId: owner.businessId, id } }, data: { name: 'Shop front' } }),
    )
    expect(await again()).toEqual({ clients: 0, tanks: 0, equipment: 0, visits: 0 })
  })

  test('a client that was merged into another is still the client of the file', async () => {
    await bring()
    const from = await look(owner, (tx) => tx.client.findFirstOrThrow())
    const into = await makeClient(owner, { name: 'Ada and Sons' })
    accepted(await mergeClients(owner, { ...fresh(owner), duplicateId: from.id, survivorId: into }))
    expect(await again()).toEqual({ clients: 0, tanks: 0, equipment: 0, visits: 0 })
  })

  test('a register made by hand takes in the old visits', async () => {
    const clientId = await makeClient(owner, { name: 'Ada Bakery' })
    const siteId = await makeSite(owner, clientId, { name: 'Shop', address: '1 Quay', city: 'Port Ellery' })
    const tankId = await makeTank(owner, siteId, { name: 'Counter' })
    const device = { equipmentClass: 'protein-skimmer', label: 'Skimmer', slotId: '' }
    const unknown = { installed: 'unknown', installedOn: '', confirmedNew: false, note: '' } as const
    const { equipmentId } = accepted(await addEquipment(owner, { ...fresh(owner), tankId, ...device, ...unknown }))
    expect(await again()).toEqual({ clients: 0, tanks: 0, equipment: 1, visits: 4 })
    const looks = await look(owner, (tx) => tx.finding.count({ where: { equipmentId } }))
    expect(looks).toBe(2)
    accepted(await editClient(owner, { ...fresh(owner), ...EMPTY_CLIENT, clientId, name: 'Ada' }))
    const named = ALL.slice(2).map(({ name, bytes }) => ({ name, bytes }))
    expect((await bring(named)).added).toEqual({ clients: 0, tanks: 0, equipment: 0, visits: 0 })
  })

  test('a later file adds to the visit that is here, behind its note; taken back, the note is as before', async () => {
    await bring()
    const more = textFile(
      'visits.csv',
      `${HEAD}\n2024-03-04,priya,counter,routine,40,protein skimmer,wheel clogged,ok,,,,pump loud\n`,
    )
    const { batchId, added } = await bring([more])
    expect(added).toEqual({ clients: 0, tanks: 0, equipment: 0, visits: 1 })
    const state = () =>
      look(owner, (tx) =>
        tx.visit.findMany({
          where: { localDate: new Date('2024-03-04') },
          select: { visitPrivate: { select: { noteForUs: true } }, _count: { select: { findings: true } } },
        }),
      )
    expect(await state()).toEqual([
      { visitPrivate: { noteForUs: 'door code changed\npump loud' }, _count: { findings: 2 } },
    ])
    accepted(await takeBack(batchId))
    expect(await state()).toEqual([{ visitPrivate: { noteForUs: 'door code changed' }, _count: { findings: 1 } }])
  })

  test('two imports of the same files at once bring them once', async () => {
    const both = await Promise.all([bring(), bring()])
    expect(both.map(({ added }) => added.visits).sort()).toEqual([0, 4])
    expect(await look(owner, (tx) => tx.client.count())).toBe(1)
  })

  test('a dry run writes nothing', async () => {
    const run = await dryRunImport(owner, { files: ALL, options: {}, mapping: {} })
    expect(run).toMatchObject({ ready: true, visits: 3, report: { visits: { added: 4 } } })
    expect(await look(owner, (tx) => tx.client.count())).toBe(0)
    expect(await listImports(owner, 1)).toMatchObject({ imports: [], total: 0 })
  })
})

describe('refusals', () => {
  test('taking back is refused with a list of what hangs on it, and then nothing has changed', async () => {
    const { batchId } = await bring()
    const tank = await look(owner, (tx) => tx.tank.findFirstOrThrow())
    await makeVisit(owner, tank.id, '2026-12-01', 'booked')
    await makeSite(owner, tank.clientId, { name: 'Second shop' })
    const refusal = await takeBack(batchId)
    expect(refusal).toMatchObject({ ok: false, reason: 'later-work' })
    expect(refusal.ok || refusal.words).toBe('Later work hangs on what this import brought:\n1 visit (Counter)\n1 site')
    expect(await findImport(owner, batchId)).toMatchObject({ withdrawnAt: null })
    expect(await look(owner, (tx) => tx.client.count())).toBe(1)
  })

  test('an import that later imports stand on goes after them', async () => {
    const first = await bring([CLIENTS, TANKS])
    const second = await bring()
    expect(await takeBack(first.batchId)).toMatchObject({ ok: false, reason: 'later-work' })
    accepted(await takeBack(second.batchId))
    accepted(await takeBack(first.batchId))
    expect(await look(owner, (tx) => tx.client.count())).toBe(0)
  })

  test('open questions and unknown headers refuse the whole, and nothing is written', async () => {
    const gallons = textFile('tanks.csv', 'client,name,volume\nAda Bakery,Counter,48 gal\n')
    const input = { ...fresh(owner), files: [CLIENTS, gallons], options: {}, mapping: {} }
    const asked = await importRecords(owner, input)
    expect(asked).toMatchObject({ ok: false, reason: 'not-ready', words: expect.stringMatching(/Which gallon/) })
    const odd = textFile('odd.csv', 'name,zork\nAda,1\n')
    const unsure = await importRecords(owner, { ...fresh(owner), files: [odd], options: {}, mapping: {} })
    expect(unsure).toMatchObject({ ok: false, reason: 'not-ready', words: expect.stringMatching(/odd\.csv/) })
    expect(await look(owner, (tx) => tx.importBatch.count())).toBe(0)
    // The same form may be sent again once the question is answered.
    accepted(await importRecords(owner, { ...input, options: { gallon: 'imperial' } }))
    // Imperial gallon: 4.54609 L exactly (UK SI 1995/1804).
    expect(Number((await look(owner, (tx) => tx.tank.findFirstOrThrow())).volumeL)).toBe(218.212)
  })

  test('a technician may neither bring nor take back', async () => {
    const { batchId } = await bring()
    const technician: Actor = { ...owner, roles: ['technician'], membershipId: newId() }
    const asTechnician = { ...fresh(owner), files: ALL, options: {}, mapping: {} }
    expect(await importRecords(technician, asTechnician)).toMatchObject({ ok: false, reason: 'not-allowed' })
    expect(await withdrawImport(technician, { ...fresh(owner), batchId })).toMatchObject({ reason: 'not-allowed' })
  })

  test('a column can be left out, though its heading is known', async () => {
    const mapping = { 'clients.csv': { columns: { email: '' } } }
    accepted(await importRecords(owner, { ...fresh(owner), files: [CLIENTS], options: {}, mapping }))
    expect(await look(owner, (tx) => tx.client.findFirstOrThrow())).toMatchObject({ name: 'Ada Bakery', email: '' })
  })
})
