import { Client } from 'pg'
import { beforeAll, describe, expect, test } from 'vitest'
import type { Actor } from '@/lib/office/frame/actor'
import { creditInvoice, editDraft, issueInvoice } from '@/lib/office/money/commands'
import { askAs, testDatabase } from '../../setup/database'
import { pinClock } from '../../setup/pinned-clock'
import { accepted, look } from '../clients/register'
import { fresh, invoiceOf, issue, makeFreeDraft, makePlace, makeSeller, type Place } from './books'

/** Nothing here is dated later. */
const TODAY = new Date('2026-12-15T10:00:00Z')

let actor: Actor
let place: Place

beforeAll(async () => {
  await testDatabase()
  pinClock(TODAY)
})

async function newBooks() {
  actor = await makeSeller('Tidepool Care')
  place = await makePlace(actor, 'Brindle Hotel')
}

const issuedNumbers = async (documentType = 'invoice') =>
  (
    await look(actor, (tx) =>
      tx.invoice.findMany({
        where: { businessId: actor.businessId, documentType, state: 'issued' },
        orderBy: { number: 'asc' },
      }),
    )
  ).map(({ number }) => number)

const numbersTo = (last: number) =>
  Array.from({ length: last }, (_, index) => `INV-${String(index + 1).padStart(4, '0')}`)

describe('gapless numbers', () => {
  beforeAll(newBooks)

  test('fifty issued at once, and one process killed while it holds a number: 1 to 50, no gap, no double', async () => {
    const drafts: string[] = []
    for (let made = 0; made < 50; made += 1) drafts.push(await makeFreeDraft(actor, place.clientId))
    const { appUrl } = await testDatabase()

    // A process of its own takes a number as issuing does, and dies before it can say so.
    const victim = new Client({ connectionString: appUrl })
    const died = new Promise((resolve) => victim.on('error', resolve)) // says so twice: the message, then the end
    await victim.connect()
    await victim.query('begin')
    await victim.query('set local role tankround_office')
    await victim.query(`select set_config('app.business_id', $1, true)`, [actor.businessId])
    const taken = await victim.query(
      `insert into number_series as series (business_id, id, document_type, prefix, next_number)
       values ($1, $2, 'invoice', 'INV-', 2)
       on conflict (business_id, document_type) do update set next_number = series.next_number + 1 returning next_number - 1 as taken`,
      [actor.businessId, fresh(actor).id],
    )
    expect(taken.rows).toEqual([{ taken: 1 }])
    const { rows } = await victim.query<{ pid: number; xid: string }>(
      'select pg_backend_pid() as pid, pg_current_xact_id()::text as xid',
    )

    const all = Promise.all(
      drafts.map((invoiceId) =>
        issueInvoice(actor, {
          ...fresh(actor),
          invoiceId,
          issuedOn: '2026-11-25',
          expectedGrossMinor: 4800,
          earlierDayAccepted: false,
        }),
      ),
    )
    const killer = new Client({ connectionString: appUrl })
    await killer.connect()
    // Killed in the middle: only once somebody waits for its number.
    const waiting = 'select 1 from pg_locks where not granted and transactionid::text = $1'
    await expect
      .poll(async () => (await killer.query(waiting, [rows[0]?.xid])).rowCount, { timeout: 20_000 })
      .toBeGreaterThan(0)
    await killer.query('select pg_terminate_backend($1)', [rows[0]?.pid])
    await killer.end()
    await died

    const results = await all
    expect(results.filter((result) => !result.ok)).toEqual([])
    expect(await issuedNumbers()).toEqual(numbersTo(50))
  }, 120_000)

  test('a refused one leaves its number to the next', async () => {
    const early = await makeFreeDraft(actor, place.clientId)
    expect(await issue(actor, early, '2026-11-24')).toMatchObject({ ok: false, reason: 'date-order' })
    expect(await issue(actor, early, '2026-12-16')).toMatchObject({ ok: false, reason: 'invalid' })
    expect(accepted(await issue(actor, early)).number).toBe('INV-0051')
  })

  test('a day before that of an earlier number needs a yes; nothing is dated after today, no credit note before its invoice', async () => {
    const seller = await makeSeller('Ninth Round')
    const { clientId } = await makePlace(seller, 'Quay House')
    accepted(await issue(seller, await makeFreeDraft(seller, clientId), '2026-12-10'))
    const draft = await makeFreeDraft(seller, clientId)
    const earlier = {
      ...fresh(seller),
      invoiceId: draft,
      issuedOn: '2026-11-20',
      expectedGrossMinor: 4800,
      earlierDayAccepted: false,
    }
    expect(await issueInvoice(seller, earlier)).toMatchObject({
      reason: 'date-order',
      words: expect.stringContaining('INV-0001 is dated 10 December 2026'),
    })
    expect(await issueInvoice(seller, { ...earlier, ...fresh(seller), issuedOn: '2026-12-16' })).toMatchObject({
      reason: 'invalid',
      fields: { issuedOn: [expect.stringContaining('yet to come')] },
    })
    const said = { ...earlier, ...fresh(seller), earlierDayAccepted: true }
    expect(accepted(await issueInvoice(seller, said)).number).toBe('INV-0002')
    const [line] = (await invoiceOf(seller, draft)).invoiceLines
    const lines = [{ lineId: line?.id ?? '', quantity: '1', effect: 'waive' as const }]
    const note = accepted(
      await creditInvoice(seller, { ...fresh(seller), invoiceId: draft, reason: 'Not agreed.', lines }),
    )
    expect(await issue(seller, note.invoiceId, '2026-11-19')).toMatchObject({
      reason: 'invalid',
      fields: { issuedOn: ['INV-0002 is dated 20 November 2026. Its credit note cannot be earlier.'] },
    })
    expect(await issue(seller, note.invoiceId, '2026-11-20')).toMatchObject({ ok: true })
  })

  test('one draft issued by two people at once gets one number', async () => {
    const draft = await makeFreeDraft(actor, place.clientId)
    const results = await Promise.all([issue(actor, draft), issue(actor, draft), issue(actor, draft)])
    expect(results.filter(({ ok }) => ok)).toHaveLength(1)
    expect(await issuedNumbers()).toEqual(numbersTo(52))
  })

  test('the same command sent again answers the same number', async () => {
    const draft = await makeFreeDraft(actor, place.clientId)
    const input = {
      ...fresh(actor),
      invoiceId: draft,
      issuedOn: '2026-11-25',
      expectedGrossMinor: 4800,
      earlierDayAccepted: false,
    }
    const [first, second] = await Promise.all([issueInvoice(actor, input), issueInvoice(actor, input)])
    expect(first).toEqual(second)
    expect(await issuedNumbers()).toEqual(numbersTo(53))
  })

  test('credit notes and another business count for themselves', async () => {
    const draft = await makeFreeDraft(actor, place.clientId)
    accepted(await issue(actor, draft))
    const [line] = (await invoiceOf(actor, draft)).invoiceLines
    const lines = [{ lineId: line?.id ?? '', quantity: '1', effect: 'waive' as const }]
    const note = accepted(
      await creditInvoice(actor, { ...fresh(actor), invoiceId: draft, reason: 'Not agreed.', lines }),
    )
    expect(accepted(await issue(actor, note.invoiceId)).number).toBe('CN-0001')
    const other = await makeSeller('Another Round')
    const theirs = await makePlace(other, 'Quay House')
    expect(accepted(await issue(other, await makeFreeDraft(other, theirs.clientId))).number).toBe('INV-0001')
  })
})

describe('what is frozen', () => {
  beforeAll(newBooks)

  test('parties, total, tax and the day to pay by; later changes of the register do not reach it', async () => {
    const draft = await makeFreeDraft(actor, place.clientId)
    accepted(await issue(actor, draft))
    const before = await invoiceOf(actor, draft)
    expect(before).toMatchObject({ state: 'issued', netMinor: 4000, taxMinor: 800, grossMinor: 4800 })
    expect(before.dueOn?.toISOString().slice(0, 10)).toBe('2026-12-09') // 14 days, the business's terms
    expect(before.taxBreakdown).toMatchObject([{ category: 'S', ratePercent: '20', taxableMinor: 4000, taxMinor: 800 }])
    await look(actor, async (tx) => {
      await tx.client.updateMany({
        where: { businessId: actor.businessId },
        data: { name: 'Renamed', billingAddress: 'Moved' },
      })
      await tx.business.update({ where: { id: actor.businessId }, data: { legalName: 'Sold Ltd' } })
    })
    expect(await invoiceOf(actor, draft)).toEqual(before)
    expect(before.buyer).toMatchObject({
      name: 'Brindle Hotel',
      address: { streetLines: ['1 Mill Road'], place: 'Weyburn' },
    })
    expect(before.seller).toMatchObject({ name: 'Tidepool Care Ltd', taxNumber: 'XX 000 0000 00' })
  })

  test('neither a command nor plain SQL changes, removes or adds anything', async () => {
    const draft = await makeFreeDraft(actor, place.clientId)
    const number = accepted(await issue(actor, draft)).number
    const [line] = (await invoiceOf(actor, draft)).invoiceLines
    if (!line) throw new Error('no line')
    const typed = {
      id: line.id,
      description: 'More',
      quantity: '9',
      unit: '',
      unitPrice: '9',
      taxCategory: 'S' as const,
      taxRate: '20',
    }
    const lines = [{ ...typed, taxExemptionReason: '', serviceStart: '2026-11-02', serviceEnd: '2026-11-02' }]
    const edited = await editDraft(actor, { ...fresh(actor), invoiceId: draft, purchaseOrder: '', note: '', lines })
    expect(edited).toMatchObject({ ok: false, reason: 'not-a-draft' })
    const office = { role: 'office' as const, businessId: actor.businessId }
    for (const statement of [
      `update invoice set gross_minor = 1 where id = '${draft}'`,
      `update invoice set state = 'draft', number = null where id = '${draft}'`,
      `delete from invoice where id = '${draft}'`,
      `update invoice_line set net_minor = 1 where invoice_id = '${draft}'`,
      `delete from invoice_line where invoice_id = '${draft}'`,
      `insert into invoice_line select (json_populate_record(l, json_build_object('id', gen_random_uuid()))).* from invoice_line l where invoice_id = '${draft}'`,
    ]) {
      await expect(
        askAs(office, (client) => client.query(statement)),
        statement,
      ).rejects.toThrow(/issued/)
    }
    expect(await invoiceOf(actor, draft)).toMatchObject({ number, grossMinor: 4800 })
  })
})

describe('what is refused', () => {
  beforeAll(newBooks)

  test('a total other than the one that was seen', async () => {
    const draft = await makeFreeDraft(actor, place.clientId)
    const input = {
      ...fresh(actor),
      invoiceId: draft,
      issuedOn: '2026-11-25',
      expectedGrossMinor: 4799,
      earlierDayAccepted: false,
    }
    expect(await issueInvoice(actor, input)).toMatchObject({ ok: false, reason: 'total-changed' })
  })

  test('a missing purchase order, tax number or address, in words', async () => {
    const strict = await makePlace(actor, 'Council', { name: 'Council', purchaseOrderNeeded: true })
    const draft = await makeFreeDraft(actor, strict.clientId)
    await look(actor, (tx) =>
      tx.business.update({
        where: { id: actor.businessId },
        data: { taxNumber: '', address: '', postcode: '', city: '' },
      }),
    )
    const refused = await issue(actor, draft)
    expect(refused).toMatchObject({ ok: false, reason: 'not-ready' })
    expect(JSON.stringify(refused)).toMatch(/purchase order number.*/)
    expect(JSON.stringify(refused)).toMatch(/Your tax number is missing/)
    expect(JSON.stringify(refused)).toMatch(/The address of your business is missing/)
    expect(await issuedNumbers()).toEqual([])
  })

  test('crediting more than was charged, drafts of credit notes counted', async () => {
    const open = await makeSeller('Third Round')
    const client = await makePlace(open, 'Quay House')
    const draft = await makeFreeDraft(open, client.clientId, { quantity: '3' })
    accepted(await issue(open, draft))
    const [line] = (await invoiceOf(open, draft)).invoiceLines
    const credit = (quantity: string) =>
      creditInvoice(open, {
        ...fresh(open),
        invoiceId: draft,
        reason: 'Two hours only.',
        lines: [{ lineId: line?.id ?? '', quantity, effect: 'waive' as const }],
      })
    accepted(await credit('2'))
    expect(await credit('1.5')).toMatchObject({ ok: false, reason: 'too-much' })
    accepted(await credit('1'))
    expect(await credit('0.001')).toMatchObject({ ok: false, reason: 'too-much' })
  })
})
