import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { defineCommand } from '@/lib/office/frame/command'
import { refused } from '@/lib/office/frame/result'
import { envelope as envelopeSchema } from '@/lib/office/frame/schema'
import { changeBusinessSettings, changeCosts } from '@/lib/office/settings/commands'
import { lastBackup } from '@/lib/office/settings/last-backup'
import { readCostTexts, readSettings } from '@/lib/office/settings/queries'
import { listRefusedEntries } from '@/lib/office/settings/refused-entries'
import { businessSettingsSchema } from '@/lib/office/settings/schema'
import { asIdentity, inScope } from '@/lib/platform/db/scope'
import { askAs, testDatabase } from '../../setup/database'
import { addSignIn, envelope, makeBusiness } from '../people/make-business'

let owner: Actor
let other: Actor
beforeAll(async () => {
  await testDatabase()
  owner = await makeBusiness('owner@settings.example')
  other = await makeBusiness('other@settings.example')
})

const office = (actor: Actor) => ({ role: 'office' as const, businessId: actor.businessId, personId: actor.personId })

async function form(actor: Actor, changes: Record<string, string> = {}) {
  return businessSettingsSchema.safeParse({ ...(await readSettings(actor)), ...envelope(actor), ...changes })
}

describe('business settings', () => {
  test('what the form shows can be saved as it is, and reads the same again', async () => {
    const before = await readSettings(owner)
    const parsed = await form(owner)
    if (!parsed.success) throw parsed.error
    expect((await changeBusinessSettings(owner, parsed.data)).ok).toBe(true)
    expect(await readSettings(owner)).toEqual(before)
  })

  test('changes are kept, audited, and of this business only', async () => {
    const elsewhere = await readSettings(other)
    const parsed = await form(owner, {
      iban: 'gb82 west 1234 5698 7654 32',
      timeZone: 'Europe/Dublin',
      currency: 'EUR',
      gallon: 'imperial',
      invoicePrefix: 'R-',
      defaultTaxRate: '13,5',
      paymentTermsDays: '30',
    })
    if (!parsed.success) throw parsed.error
    expect((await changeBusinessSettings(owner, parsed.data)).ok).toBe(true)
    expect(await readSettings(owner)).toMatchObject({
      iban: 'GB82WEST12345698765432',
      timeZone: 'Europe/Dublin',
      currency: 'EUR',
      gallon: 'imperial',
      invoicePrefix: 'R-',
      creditNotePrefix: '',
      defaultTaxRate: '13.5',
      paymentTermsDays: '30',
    })
    expect(await readSettings(other)).toEqual(elsewhere)
    const audit = await inScope(office(owner), (tx) =>
      tx.audit.findMany({ where: { commandId: parsed.data.commandId } }),
    )
    expect(audit).toHaveLength(1)
    expect(audit[0]).toMatchObject({ before: { currency: 'GBP' }, after: { currency: 'EUR' } })
  })

  test.each([
    ['iban', 'GB82WEST12345698765433'],
    ['timeZone', 'Europe/Nowhere'],
    ['country', 'QQ'],
    ['defaultTaxRate', '0'],
    ['paymentTermsDays', '400'],
    ['email', 'nonsense'],
  ])('a wrong %s (%s) is named by its field', async (name, value) => {
    const parsed = await form(owner, { [name]: value })
    expect(parsed.error?.issues.map(({ path }) => path[0])).toEqual([name])
  })

  test('nor while a part, an agreement or a client’s own costs hold amounts', async () => {
    for (const holds of ['part', 'agreement', 'clientCost'] as const) {
      const keeper = await makeBusiness(`${holds}@currency.example`)
      const { businessId } = keeper
      const [clientId, siteId, tankId] = [newId(), newId(), newId()]
      const to = async (currency: string) => {
        const parsed = await form(keeper, { currency })
        return changeBusinessSettings(keeper, parsed.data ?? expect.fail('the form is wrong'))
      }
      expect(await to('JPY'), holds).toMatchObject({ ok: true })
      await inScope(office(keeper), async (tx) => {
        await tx.client.create({ data: { businessId, id: clientId, name: 'Marram Library' } })
        if (holds === 'part')
          await tx.part.create({ data: { businessId, id: newId(), name: 'Tube', unit: 'piece', costMinor: 85 } })
        if (holds === 'clientCost')
          await tx.clientCost.create({ data: { businessId, id: newId(), clientId, travelMinor: 85 } })
        if (holds !== 'agreement') return
        const place = { businessId, clientId }
        await tx.site.create({ data: { ...place, id: siteId, name: 'Hall' } })
        await tx.tank.create({ data: { ...place, id: tankId, siteId, name: 'Hall', profile: 'reef', volumeL: '450' } })
        await tx.tankClient.create({ data: { ...place, id: tankId, tankId, since: new Date('2025-01-01') } })
        const terms = {
          everyDays: 14,
          anchorOn: new Date('2026-01-05'),
          startsOn: new Date('2026-01-05'),
          visitMinutes: 45,
        }
        await tx.agreement.create({ data: { ...place, id: newId(), tankId, ...terms, monthlyFeeMinor: 8500 } })
      })
      expect(await to('INR'), holds).toMatchObject({
        ok: false,
        reason: 'invalid',
        fields: { currency: [expect.any(String)] },
      })
    }
  })

  test('the currency cannot change once there are amounts in it', async () => {
    const clientId = newId()
    await inScope(office(other), async (tx) => {
      const { businessId } = other
      await tx.client.create({ data: { businessId, id: clientId, name: 'C' } })
      await tx.invoice.create({ data: { businessId, id: newId(), clientId, currency: 'GBP' } })
    })
    const parsed = await form(other, { currency: 'EUR' })
    if (!parsed.success) throw parsed.error
    const result = await changeBusinessSettings(other, parsed.data)
    expect(result).toMatchObject({ ok: false, reason: 'invalid', fields: { currency: [expect.any(String)] } })
    expect(await readSettings(other)).toMatchObject({ currency: 'GBP' })
  })
})

describe('costs', () => {
  const typed = { planned: '40', found: '95.50', callOut: '180', hiddenPerDay: '0', shareReportedPercent: '12.5' }
  const state = (equipmentClass: string, changes = {}) =>
    changeCosts(other, { ...envelope(other), equipmentClass, ...typed, ...changes })

  test('each statement is a new version with all rows, kept beside the old ones, and asks for the work once', async () => {
    const { classes } = await readCostTexts(other)
    const someClass = classes[1]?.value ?? ''
    expect(await state('*')).toEqual({ ok: true, value: { version: 1 } })
    expect(await state(someClass, { planned: '60' })).toEqual({ ok: true, value: { version: 2 } })
    expect(await state('*', { planned: '45' })).toEqual({ ok: true, value: { version: 3 } })
    const { version, costs } = await readCostTexts(other)
    expect(version).toBe(3)
    expect(costs.map(({ equipmentClass, planned }) => [equipmentClass, planned])).toEqual([
      ['*', '45.00'],
      [someClass, '60.00'],
    ])
    expect(costs[0]).toMatchObject({
      found: '95.50',
      callOut: '180.00',
      hiddenPerDay: '0.00',
      shareReportedPercent: '12.5',
    })
    const all = await inScope(office(other), (tx) =>
      tx.costSetting.findMany({ orderBy: [{ version: 'asc' }, { plannedMinor: 'asc' }] }),
    )
    expect(all.map((row) => [row.version, row.plannedMinor])).toEqual(
      [
        [1, 4000],
        [2, 4000],
        [2, 6000],
        [3, 6000],
        [3, 4500],
      ].sort(),
    )
    const jobs = await askAs({ role: 'jobs' }, (client) =>
      client.query(`select data from pgboss.job where name = 'recompute-stale-lanes' and data ->> 'businessId' = $1`, [
        other.businessId,
      ]),
    )
    expect(jobs.rows).toEqual([{ data: { businessId: other.businessId } }])
  })

  test('several at the same moment get a version each', async () => {
    const results = await Promise.all(['41', '42', '43'].map((planned) => state('*', { planned })))
    const versions = results.map((result) => (result.ok ? result.value.version : 0))
    expect(versions.sort()).toEqual([4, 5, 6])
  })

  test('an amount that is none is named by its field, and nothing is stated', async () => {
    const result = await state('*', { callOut: '1,23.4', found: '-1' })
    expect(result).toMatchObject({
      reason: 'invalid',
      fields: { callOut: [expect.any(String)], found: [expect.any(String)] },
    })
    expect((await readCostTexts(other)).version).toBe(6)
  })
})

test('a refused entry is shown to who made it and to the owner, and to nobody else', async () => {
  const maker = await addSignIn({
    businessId: owner.businessId,
    email: 'maker@settings.example',
    roles: ['technician'],
  })
  const mate = await addSignIn({ businessId: owner.businessId, email: 'mate@settings.example', roles: ['technician'] })
  const id = newId()
  const never = defineCommand({ kind: 'visit.finding', may: 'visit.log', schema: envelopeSchema }, async () =>
    refused('not-yours', 'This visit belongs to somebody else.'),
  )
  await never(maker, { commandId: id, businessId: maker.businessId }, { keepRefused: true })
  const seenBy = async (actor: Actor) => (await listRefusedEntries(actor)).map((entry) => entry.id)
  expect(await seenBy(maker)).toEqual([id])
  expect(await seenBy(owner)).toEqual([id])
  expect(await seenBy(mate)).toEqual([])
  expect(await seenBy(other)).toEqual([])
  expect((await listRefusedEntries(owner))[0]).toMatchObject({
    personName: 'maker@settings.example',
    reason: 'This visit belongs to somebody else.',
  })
})

test('the last backup: never, too old, fresh', async () => {
  const now = new Date('2026-11-25T12:00:00Z')
  expect(await lastBackup(owner, now)).toEqual({ finishedAt: null, tooOld: true })
  const run = (finishedAt: string) =>
    asIdentity((tx) =>
      tx.backupRun.create({
        data: { id: newId(), finishedAt: new Date(finishedAt), sizeBytes: 1n, sha256: 'a'.repeat(64) },
      }),
    )
  await run('2026-11-22T11:59:59.000Z')
  expect(await lastBackup(owner, now)).toEqual({ finishedAt: '2026-11-22T11:59:59.000Z', tooOld: true })
  await run('2026-11-22T12:00:01.000Z')
  expect(await lastBackup(owner, now)).toEqual({ finishedAt: '2026-11-22T12:00:01.000Z', tooOld: false })
})
