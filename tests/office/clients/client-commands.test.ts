import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import {
  addClient,
  addSite,
  archiveClient,
  archiveSite,
  editClient,
  editSite,
  restoreClient,
} from '@/lib/office/clients/commands'
import { findClient, findSite, listClients } from '@/lib/office/clients/queries'
import { EMPTY_CLIENT, EMPTY_SITE } from '@/lib/office/clients/schema'
import type { Actor } from '@/lib/office/frame/actor'
import { testDatabase } from '../../setup/database'
import { accepted, fresh, look, makeBusiness, makeClient, makeSite, makeTank, makeVisit } from './register'

const ALL = { q: '', archived: '', page: 1 } as const
let owner: Actor
let other: Actor
beforeAll(async () => {
  await testDatabase()
  owner = await makeBusiness('Harbour Lane')
  other = await makeBusiness('Another business')
})

describe('adding and changing a client', () => {
  test('what was typed comes back as it was typed', async () => {
    const input = {
      ...fresh(owner),
      ...EMPTY_CLIENT,
      name: 'Port Ellery School',
      email: 'office@ellery.example',
      billingCountry: 'gb',
      paymentTermsDays: '30',
      purchaseOrderNeeded: true,
      purchaseOrder: 'PE-114',
      note: 'Ring the bell twice.',
    }
    const { clientId } = accepted(await addClient(owner, input))
    expect(clientId).toBe(input.commandId)
    const page = await findClient(owner, clientId)
    const { commandId: _, businessId: __, ...typed } = input
    expect(page?.fields).toEqual({ ...typed, billingCountry: 'GB' })
  })

  test('the same command twice, and at the same time, makes one client and gives one answer', async () => {
    const input = { ...fresh(owner), ...EMPTY_CLIENT, name: 'Marram Library' }
    const answers = await Promise.all([addClient(owner, input), addClient(owner, input), addClient(owner, input)])
    expect(new Set(answers.map((answer) => JSON.stringify(answer))).size).toBe(1)
    const changed = await addClient(owner, { ...input, name: 'Changed on the way' })
    expect(changed).toMatchObject({ ok: false, reason: 'other-content' })
    const rows = await look(owner, (tx) => tx.client.findMany({ where: { id: input.commandId } }))
    expect(rows.map((row) => row.name)).toEqual(['Marram Library'])
    const audits = await look(owner, (tx) => tx.audit.count({ where: { entityId: input.commandId } }))
    expect(audits).toBe(1)
  })

  test('a form of another business is refused before anything happens', async () => {
    const input = { ...fresh(other), ...EMPTY_CLIENT, name: 'Nobody' }
    expect(await addClient(owner, input)).toMatchObject({ ok: false, reason: 'other-business' })
    expect(await look(other, (tx) => tx.client.count({ where: { id: input.commandId } }))).toBe(0)
  })

  test('a technician may not change the register', async () => {
    const technician: Actor = { ...owner, roles: ['technician'] }
    const input = { ...fresh(owner), ...EMPTY_CLIENT, name: 'Nobody' }
    expect(await addClient(technician, input)).toMatchObject({ ok: false, reason: 'not-allowed' })
  })

  test('before and after stand in the audit; names and addresses stand in no log', async () => {
    const clientId = await makeClient(owner, { name: 'Mrs Quill', phone: '01632 960123', paymentTermsDays: '14' })
    const given = { ...EMPTY_CLIENT, name: 'Mrs Quill-Reed', phone: '01632 960124', paymentTermsDays: '30' }
    accepted(await editClient(owner, { ...fresh(owner), clientId, ...given }))
    const logs = await look(owner, async (tx) => ({
      audits: await tx.audit.findMany({ where: { entityId: clientId }, orderBy: { at: 'asc' } }),
      commands: await tx.command.findMany({ where: { kind: { startsWith: 'client.' } } }),
    }))
    expect(logs.audits[1]).toMatchObject({
      action: 'edit',
      before: { paymentTermsDays: 14 },
      after: { paymentTermsDays: 30 },
    })
    expect(JSON.stringify(logs)).not.toMatch(/Quill|960123|960124/)
  })
})

describe('sites', () => {
  test('one client pays for several sites, another site has another payer, contacts differ', async () => {
    const trust = await makeClient(owner, { name: 'Ellery Trust' })
    const cafe = await makeClient(owner, { name: 'Kelp Quay Café' })
    await makeSite(owner, trust, { name: 'Library' })
    const bar = await makeSite(owner, cafe, {
      name: 'Bar',
      payerClientId: trust,
      accessNote: 'Key at the office',
      accessWindows: [{ weekdays: ['1', '2'], from: '08:00', to: '11:30' }],
      contacts: [{ name: 'Ines Marlow', role: 'Manager', phone: '01632 960555', email: '' }],
    })
    const page = await findClient(owner, trust)
    expect(page?.sites.map((site) => site.name)).toEqual(['Library'])
    expect(page?.paysFor.map((site) => site.name)).toEqual(['Bar'])
    expect((await findSite(owner, bar))?.fields).toMatchObject({
      payerClientId: trust,
      accessWindows: [{ weekdays: ['1', '2'], from: '08:00', to: '11:30' }],
      contacts: [{ name: 'Ines Marlow' }],
    })
  })

  test('editing a site makes its contacts exactly those given', async () => {
    const clientId = await makeClient(owner, { name: 'Otter Green' })
    const contacts = [
      { name: 'Ada', role: '', phone: '', email: '' },
      { name: 'Bo', role: '', phone: '', email: '' },
    ]
    const siteId = await makeSite(owner, clientId, { contacts })
    const fields = { ...EMPTY_SITE, clientId, name: 'Day room', contacts: contacts.slice(1) }
    accepted(await editSite(owner, { ...fresh(owner), siteId, ...fields }))
    expect((await findSite(owner, siteId))?.fields.contacts.map((contact) => contact.name)).toEqual(['Bo'])
  })

  test('a site with tanks does not go to another client by being edited', async () => {
    const clientId = await makeClient(owner, { name: 'First holder' })
    const second = await makeClient(owner, { name: 'Second holder' })
    const siteId = await makeSite(owner, clientId)
    await makeTank(owner, siteId)
    const fields = { ...EMPTY_SITE, name: 'Main building', clientId: second }
    const answer = await editSite(owner, { ...fresh(owner), siteId, ...fields })
    expect(answer).toMatchObject({
      ok: false,
      reason: 'invalid',
      fields: { clientId: [expect.stringContaining('Hall')] },
    })
  })

  test('a client of another business cannot be the payer', async () => {
    const mine = await makeClient(owner, { name: 'Mine' })
    const theirs = await makeClient(other, { name: 'Theirs' })
    const input = { ...fresh(owner), ...EMPTY_SITE, name: 'Foyer', clientId: mine, payerClientId: theirs }
    expect(await addSite(owner, input)).toMatchObject({
      ok: false,
      reason: 'invalid',
      fields: { payerClientId: expect.any(Array) },
    })
  })
})

describe('archiving', () => {
  test('is refused with a list while invoices, visits and tanks are open, and done once they are not', async () => {
    const clientId = await makeClient(owner, { name: 'Dune Hotel' })
    const siteId = await makeSite(owner, clientId, { name: 'Lobby' })
    const tankId = await makeTank(owner, siteId, { name: 'Lobby reef' })
    const visitId = await makeVisit(owner, tankId, '2030-01-15', 'booked')
    const invoiceId = newId()
    await look(owner, (tx) =>
      tx.invoice.create({
        data: { businessId: owner.businessId, id: invoiceId, clientId, currency: 'GBP', state: 'draft' },
      }),
    )
    const refusal = await archiveClient(owner, { ...fresh(owner), id: clientId })
    expect(refusal).toMatchObject({ ok: false, reason: 'in-use' })
    for (const words of ['a draft', 'Lobby reef on 2030-01-15', 'Lobby reef, Lobby'])
      expect(JSON.stringify(refusal)).toContain(words)
    expect((await archiveSite(owner, { ...fresh(owner), id: siteId })).ok).toBe(false)
    await look(owner, async (tx) => {
      await tx.invoice.delete({ where: { businessId_id: { businessId: owner.businessId, id: invoiceId } } })
      await tx.visit.update({
        where: { businessId_id: { businessId: owner.businessId, id: visitId } },
        data: { state: 'cancelled' },
      })
      await tx.tank.update({
        where: { businessId_id: { businessId: owner.businessId, id: tankId } },
        data: { archivedAt: new Date('2026-11-24') },
      })
    })
    accepted(await archiveClient(owner, { ...fresh(owner), id: clientId }))
    expect((await listClients(owner, { ...ALL, q: 'dune' })).rows).toEqual([])
    expect((await listClients(owner, { ...ALL, q: 'dune', archived: 'yes' })).rows).toHaveLength(1)
    accepted(await restoreClient(owner, { ...fresh(owner), id: clientId }))
    expect((await listClients(owner, { ...ALL, q: 'dune' })).rows).toHaveLength(1)
  })

  test('a paid invoice does not stand in the way, a half-paid one does', async () => {
    const paying = await makeClient(owner, { name: 'Pays in full' })
    const late = await makeClient(owner, { name: 'Pays half' })
    await issue(paying, 'T-1', 10_000, 10_000)
    await issue(late, 'T-2', 10_000, 5_000)
    expect((await archiveClient(owner, { ...fresh(owner), id: paying })).ok).toBe(true)
    expect(await archiveClient(owner, { ...fresh(owner), id: late })).toMatchObject({
      words: expect.stringContaining('T-2'),
    })
  })
})

async function issue(clientId: string, number: string, grossMinor: number, amountMinor: number): Promise<void> {
  await look(owner, async (tx) => {
    const ofClient = { businessId: owner.businessId, clientId }
    const invoice = {
      ...ofClient,
      id: newId(),
      currency: 'GBP',
      state: 'issued',
      issuedOn: new Date('2026-01-10'),
      number,
      grossMinor,
    }
    await tx.invoice.create({ data: invoice })
    const paymentId = newId()
    const payment = { ...ofClient, id: paymentId, currency: 'GBP', receivedOn: new Date('2026-02-01'), amountMinor }
    await tx.payment.create({ data: payment })
    await tx.allocation.create({ data: { ...ofClient, id: newId(), invoiceId: invoice.id, paymentId, amountMinor } })
  })
}

describe('a second business', () => {
  test('sees an empty list and no page, and changes nothing', async () => {
    const clientId = await makeClient(owner, { name: 'Only ours' })
    const siteId = await makeSite(owner, clientId)
    const stranger = await makeBusiness('Stranger')
    expect((await listClients(stranger, ALL)).total).toBe(0)
    expect(await findClient(stranger, clientId)).toBeNull()
    expect(await findSite(stranger, siteId)).toBeNull()
    const edit = { ...fresh(stranger), clientId, ...EMPTY_CLIENT, name: 'Taken' }
    expect(await editClient(stranger, edit)).toMatchObject({ ok: false, reason: 'not-found' })
    expect(await archiveClient(stranger, { ...fresh(stranger), id: clientId })).toMatchObject({ reason: 'not-found' })
    expect(await archiveSite(stranger, { ...fresh(stranger), id: siteId })).toMatchObject({ reason: 'not-found' })
    expect((await findClient(owner, clientId))?.fields.name).toBe('Only ours')
  })
})
