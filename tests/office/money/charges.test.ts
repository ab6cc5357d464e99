import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { EMPTY_SITE } from '@/lib/office/clients/schema'
import { editSite } from '@/lib/office/clients/site-commands'
import type { Actor } from '@/lib/office/frame/actor'
import { rowId } from '@/lib/office/frame/row-ids'
import { chargesPage } from '@/lib/office/money/charges-page'
import {
  chooseMonthRule,
  creditInvoice,
  discardDraft,
  editDraft,
  makeDrafts,
  takeBackWaiver,
  takeNewFigures,
  waiveCharge,
} from '@/lib/office/money/commands'
import { issueInvoice } from '@/lib/office/money/issue-commands'
import { issueReady } from '@/lib/office/money/issue-ready'
import { invoicePage, moneyPage } from '@/lib/office/money/queries'
import { readCharges } from '@/lib/office/money/read-charges'
import { overBilled } from '@/lib/office/money/unbilled-groups'
import { testDatabase } from '../../setup/database'
import { pinClock } from '../../setup/pinned-clock'
import { accepted, look, makeClient, fresh as registerFresh } from '../clients/register'
import { addSignIn } from '../people/make-business'
import {
  draftsThrough,
  fresh,
  invoiceOf,
  issue,
  makeAgreement,
  makeDoneVisit,
  makeFreeDraft,
  makePart,
  makePlace,
  makePrice,
  makeSeller,
  type Place,
} from './books'

let actor: Actor
let place: Place

beforeAll(async () => {
  pinClock(new Date('2026-11-25T12:00:00Z'))
  await testDatabase()
})
beforeEach(async () => {
  actor = await makeSeller('Tidepool Care')
  place = await makePlace(actor, 'Brindle Hotel')
  await makePrice(actor, { name: 'Call-out', forVisitKind: 'call_out' })
})

const day = (iso: string) => new Date(`${iso}T00:00:00Z`)
const at = (id: string) => ({ businessId_id: { businessId: actor.businessId, id } })

/** What drafts through a month say: description, net. */
async function proposed(through: string, since = '2026-01') {
  const ids = await draftsThrough(actor, through, since)
  const drafts = await Promise.all(ids.map((id) => invoiceOf(actor, id)))
  return drafts.flatMap(({ invoiceLines }) => invoiceLines.map(({ description, netMinor }) => [description, netMinor]))
}

async function billed(through: string): Promise<string[]> {
  const ids = await draftsThrough(actor, through)
  for (const id of ids) accepted(await issue(actor, id))
  return ids
}

type Credit = { quantity?: string; amount?: string; effect: 'reopen' | 'waive' }
async function credit(invoiceId: string, line: Credit, position = 0): Promise<string> {
  const lineId = (await invoiceOf(actor, invoiceId)).invoiceLines[position]?.id ?? ''
  const input = { ...fresh(actor), invoiceId, reason: 'Agreed on the phone.', lines: [{ lineId, ...line }] }
  const note = accepted(await creditInvoice(actor, input))
  accepted(await issue(actor, note.invoiceId))
  return note.invoiceId
}

/** The agreement ends, and another one at another fee begins the day after. */
async function changeFee(agreementId: string, from: string, monthlyFeeMinor: number): Promise<string> {
  const last = new Date(day(from).getTime() - 86_400_000)
  await look(actor, (tx) => tx.agreement.update({ where: at(agreementId), data: { endsOn: last } }))
  return makeAgreement(actor, place, from, { monthlyFeeMinor })
}

describe('a tank’s month', () => {
  test('changing an agreement within a month loses no fee: continuous cover is billed whole', async () => {
    const agreement = await makeAgreement(actor, place, '2026-09-01')
    await changeFee(agreement, '2026-11-10', 18_000)
    const nets = (await proposed('2026-11')).map(([, net]) => net)
    expect(nets.reduce((sum: number, net) => sum + Number(net), 0)).toBe(3 * 18_000)
  })

  test('a fee changed within a month that is billed bills the difference, not the month again', async () => {
    const agreement = await makeAgreement(actor, place, '2026-10-01')
    await billed('2026-10')
    await changeFee(agreement, '2026-10-10', 21_000)
    // 22 of 31 days at the new fee: the month costs 210.00, of which 180.00 are billed.
    expect(await proposed('2026-10')).toEqual([['Agreement, October 2026, difference to what was billed', 3000]])
  })

  test('by days, to the penny: 9 days at 180.00 and 22 at 210.00 of 31 are 201.29', async () => {
    accepted(await chooseMonthRule(actor, { ...fresh(actor), rule: 'pro_rata' }))
    const agreement = await makeAgreement(actor, place, '2026-10-01')
    await changeFee(agreement, '2026-10-10', 21_000)
    // 9 × 18000 / 31 + 22 × 21000 / 31 = 20129.03, by hand
    expect((await proposed('2026-10')).map(([, net]) => net)).toEqual([20_129])
  })

  test('a fee lowered within a month that is billed proposes a credit and makes none', async () => {
    const agreement = await makeAgreement(actor, place, '2026-10-01')
    const [invoice] = await billed('2026-10')
    await changeFee(agreement, '2026-10-10', 15_000)
    expect(await proposed('2026-10')).toEqual([])
    const over = await look(actor, async (tx) =>
      overBilled(await readCharges(tx, actor.businessId, { through: '2026-10', since: '2026-01' })),
    )
    expect(over).toMatchObject([{ overMinor: 3000, invoiceId: invoice }])
    await credit(invoice ?? '', { amount: '30.00', effect: 'reopen' })
    expect(await proposed('2026-10')).toEqual([])
    expect((await moneyPage(actor, { through: '2026-10', filter: 'all', search: '', page: 1 })).unbilled?.over).toEqual(
      [],
    )
  })

  test('an older month whose credit reopened it comes back, although later ones are billed', async () => {
    await makeAgreement(actor, place, '2026-08-01')
    const [august] = await billed('2026-08')
    await billed('2026-10')
    await credit(august ?? '', { quantity: '1', effect: 'reopen' })
    expect(await proposed('2026-10')).toEqual([['Agreement, no visits', 18_000]])
  })

  test('a payer who changes within a month shares it by days with the former one', async () => {
    await makeAgreement(actor, place, '2026-10-01')
    const landlord = await makeClient(actor, { name: 'Landlord' })
    const fields = { ...EMPTY_SITE, name: 'Main building', clientId: place.clientId, payerClientId: landlord }
    const change = { ...registerFresh(actor), ...fields, siteId: place.siteId, payerSince: '2026-10-11' }
    accepted(await editSite(actor, change))
    const ids = await draftsThrough(actor, '2026-10')
    const drafts = await Promise.all(ids.map((id) => invoiceOf(actor, id)))
    // 10 and 21 of 31 days: 5806.45 and 12193.55; the larger remainder takes the penny.
    const byPayer = new Map(drafts.map(({ clientId, netMinor }) => [clientId, netMinor]))
    expect(byPayer).toEqual(
      new Map([
        [place.clientId, 5806],
        [landlord, 12_194],
      ]),
    )
  })

  test('a line of three months set to two frees the last one', async () => {
    await makeAgreement(actor, place, '2026-08-01')
    const [id] = await draftsThrough(actor, '2026-10')
    const [line] = (await invoiceOf(actor, id ?? '')).invoiceLines
    if (!line) throw new Error('no line')
    const typed = {
      ...{ id: line.id, description: line.description, quantity: '2', unit: line.unit, unitPrice: '180' },
      ...{ taxCategory: 'S' as const, taxRate: '20', taxExemptionReason: '' },
      ...{ serviceStart: '2026-08-01', serviceEnd: '2026-09-30' },
    }
    const edit = { ...fresh(actor), invoiceId: id ?? '', purchaseOrder: '', note: '', lines: [typed] }
    accepted(await editDraft(actor, edit))
    const [rest] = await draftsThrough(actor, '2026-10')
    expect((await invoiceOf(actor, rest ?? '')).serviceStart).toEqual(day('2026-10-01'))
  })
})

describe('credits', () => {
  test('a goodwill credit that is waived is not billed again; one that reopens is', async () => {
    await makeDoneVisit(actor, place, '2026-11-10', { kind: 'call_out' })
    const [invoice] = await billed('2026-11')
    await credit(invoice ?? '', { quantity: '1', effect: 'waive' })
    expect(await proposed('2026-11')).toEqual([])
    await makeDoneVisit(actor, place, '2026-11-11', { kind: 'call_out' })
    const [second] = await billed('2026-11')
    await credit(second ?? '', { quantity: '1', effect: 'reopen' })
    expect(await proposed('2026-11')).toEqual([['Call-out 11 Nov, 40 min', 5500]])
  })

  test('halves of 10.01 are 5.01 and 5.00: every penny can be cleared, and not one more', async () => {
    const id = await makeFreeDraft(actor, place.clientId, { unitPrice: '10.01' })
    accepted(await issue(actor, id))
    const notes = [await credit(id, { quantity: '0.5', effect: 'waive' })]
    notes.push(await credit(id, { quantity: '0.5', effect: 'waive' }))
    const amounts = await Promise.all(notes.map((note) => invoiceOf(actor, note)))
    expect(amounts.map(({ netMinor }) => netMinor)).toEqual([501, 500])
    // 20 % of 10.01 is 2.00: 1.00 with each half, and nothing is left.
    expect(amounts.map(({ taxMinor }) => taxMinor)).toEqual([100, 100])
    const page = await invoicePage(actor, id)
    expect(page?.standing.outstandingMinor).toBe(0)
    const lineId = (await invoiceOf(actor, id)).invoiceLines[0]?.id ?? ''
    const more = { ...fresh(actor), invoiceId: id, reason: 'More.' }
    const again = await creditInvoice(actor, { ...more, lines: [{ lineId, amount: '0.01', effect: 'waive' }] })
    expect(again).toMatchObject({ ok: false, reason: 'too-much' })
  })

  test('the last credit takes the rest of the tax: five lines of 0.13 at 20 % are 0.13 tax, not five times 0.03', async () => {
    const id = await makeFreeDraft(actor, place.clientId, { unitPrice: '0.13' })
    const [first] = (await invoiceOf(actor, id)).invoiceLines
    const typed = (lineId: string) => ({
      ...{ id: lineId, description: 'Advice', quantity: '1', unit: 'hour', unitPrice: '0.13' },
      ...{ taxCategory: 'S' as const, taxRate: '20', taxExemptionReason: '' },
      ...{ serviceStart: '2026-11-02', serviceEnd: '2026-11-02' },
    })
    const ids = [first?.id ?? '', ...[1, 2, 3, 4].map((place) => rowId(id, `line ${place}`))]
    const edit = { ...fresh(actor), invoiceId: id, purchaseOrder: '', note: '', lines: ids.map(typed) }
    accepted(await editDraft(actor, edit))
    accepted(await issue(actor, id))
    const taxes: number[] = []
    for (const position of ids.keys())
      taxes.push((await invoiceOf(actor, await credit(id, { quantity: '1', effect: 'waive' }, position))).taxMinor)
    expect(taxes).toEqual([3, 3, 3, 3, 1])
    expect((await invoicePage(actor, id))?.standing.outstandingMinor).toBe(0)
  })

  test('10.00 off 318.00, by amount', async () => {
    const id = await makeFreeDraft(actor, place.clientId, { unitPrice: '318' })
    accepted(await issue(actor, id))
    expect(await invoiceOf(actor, await credit(id, { amount: '10', effect: 'waive' }))).toMatchObject({
      netMinor: 1000,
      taxMinor: 200,
    })
  })

  test('a line written by hand that a credit reopens is proposed again', async () => {
    const id = await makeFreeDraft(actor, place.clientId)
    accepted(await issue(actor, id))
    await credit(id, { quantity: '1', effect: 'reopen' })
    expect(await proposed('2026-11')).toEqual([['Advice', 4000]])
  })
})

describe('what was put right after it was billed', () => {
  test('more minutes are billed as the difference; a draft says that its records have changed and takes the new figures', async () => {
    const visit = await makeDoneVisit(actor, place, '2026-11-10', { kind: 'call_out', minutes: 40 })
    const [draft] = await draftsThrough(actor, '2026-11')
    await look(actor, (tx) => tx.visit.update({ where: at(visit), data: { minutes: 80 } }))
    // An hour at 55.00 and two quarters begun at 13.75.
    expect((await invoicePage(actor, draft ?? ''))?.changes).toEqual([
      { what: 'Call-out 10 Nov', dueMinor: 8250, billedMinor: 5500 },
    ])
    expect(await proposed('2026-11')).toEqual([])
    accepted(await takeNewFigures(actor, { ...fresh(actor), invoiceId: draft ?? '' }))
    expect((await invoiceOf(actor, draft ?? '')).netMinor).toBe(8250)
    expect((await invoicePage(actor, draft ?? ''))?.changes).toEqual([])
    accepted(await issue(actor, draft ?? ''))
    await look(actor, (tx) => tx.visit.update({ where: at(visit), data: { minutes: 100 } }))
    expect(await proposed('2026-11')).toEqual([['Call-out 10 Nov, difference to what was billed', 1375]])
  })

  test('a price that changes later does not reach what is billed', async () => {
    await makeDoneVisit(actor, place, '2026-11-10', { kind: 'call_out' })
    await billed('2026-11')
    await look(actor, (tx) =>
      tx.priceItem.updateMany({
        where: { businessId: actor.businessId, forVisitKind: 'call_out' },
        data: { unitPrice: 99 },
      }),
    )
    expect(await proposed('2026-11')).toEqual([])
  })
})

test('“never bill” for a visit, a part and a month stands until it is taken back, and says why', async () => {
  await makePrice(actor, { name: 'Tube', kind: 'part', unit: 'piece', unitPrice: '6.40' })
  await makeAgreement(actor, place, '2026-11-01')
  const visit = await makeDoneVisit(actor, place, '2026-11-10', { kind: 'call_out' })
  const part = await makePart(actor, place, '2026-11-10', { description: 'Tube', quantity: '2' })
  const keys = [
    { kind: 'visit' as const, subjectId: visit, period: '' },
    { kind: 'part' as const, subjectId: part, period: '' },
    { kind: 'agreement_month' as const, subjectId: place.tankId, period: '2026-11' },
  ]
  const waiverIds: string[] = []
  for (const key of keys)
    waiverIds.push(accepted(await waiveCharge(actor, { ...fresh(actor), ...key, reason: 'A gift' })).waiverId)
  expect(await proposed('2026-11')).toEqual([])
  const page = await chargesPage(actor, { tankId: place.tankId })
  expect(page?.places[0]?.rows.map(({ waivedMinor, why }) => [waivedMinor, why]).sort()).toEqual([
    [1280, 'Never billed: A gift'],
    [18_000, 'Never billed: A gift'],
    [5500, 'Never billed: A gift'],
  ])
  for (const waiverId of waiverIds) accepted(await takeBackWaiver(actor, { ...fresh(actor), waiverId }))
  expect(await takeBackWaiver(actor, { ...fresh(actor), waiverId: waiverIds[0] ?? '' })).toMatchObject({
    reason: 'already-so',
  })
  expect((await proposed('2026-11')).map(([, net]) => net)).toEqual([18_000, 5500, 1280])
})

test('what stands on a draft is not waived behind its back', async () => {
  const visit = await makeDoneVisit(actor, place, '2026-11-10', { kind: 'call_out' })
  const [draft] = await draftsThrough(actor, '2026-11')
  const key = { kind: 'visit' as const, subjectId: visit, period: '' }
  const waive = () => waiveCharge(actor, { ...fresh(actor), ...key, reason: 'A gift' })
  expect(await waive()).toMatchObject({ reason: 'on-a-draft', words: expect.stringContaining('Brindle Hotel') })
  accepted(await discardDraft(actor, { ...fresh(actor), invoiceId: draft ?? '' }))
  accepted(await waive())
})

test('two people on one draft: whoever saves second is told, and decides', async () => {
  await makeDoneVisit(actor, place, '2026-11-10', { kind: 'call_out' })
  const [invoiceId = ''] = await draftsThrough(actor, '2026-11')
  const colleague = await addSignIn({
    businessId: actor.businessId,
    email: `ana-${newId()}@tide.example`,
    roles: ['owner'],
  })
  const opened = await invoicePage(actor, invoiceId)
  const { seen = '', lines = [] } = opened ?? {}
  const save = (who: Actor, note: string, about: { seen?: string; changeAccepted?: boolean }) =>
    editDraft(who, { ...fresh(who), invoiceId, purchaseOrder: '', note, lines: lines.map(asTyped), ...about })
  accepted(await save(colleague, 'From the colleague', { seen }))
  const asked = await save(actor, 'Mine', { seen })
  expect(asked).toMatchObject({ reason: 'changed-meanwhile', words: expect.stringContaining(colleague.name) })
  expect((await invoiceOf(actor, invoiceId)).note).toBe('From the colleague')
  const saved = accepted(await save(actor, 'Mine', { seen, changeAccepted: true }))
  expect((await invoicePage(actor, invoiceId))?.seen).toBe(saved.seen) // the page made anew, and the form that goes on
  accepted(await save(actor, 'Mine again', { seen: saved.seen })) // nobody has changed it since
  expect((await invoiceOf(actor, invoiceId)).note).toBe('Mine again')
})

test('one person in two windows is told too, and not of what the same window saved', async () => {
  await makeDoneVisit(actor, place, '2026-11-10', { kind: 'call_out' })
  const [invoiceId = ''] = await draftsThrough(actor, '2026-11')
  const { seen = '', lines = [] } = (await invoicePage(actor, invoiceId)) ?? {}
  const save = (note: string, since: string) =>
    editDraft(actor, { ...fresh(actor), invoiceId, purchaseOrder: '', note, lines: lines.map(asTyped), seen: since })
  const first = accepted(await save('First window', seen))
  expect(await save('Second window', seen)).toMatchObject({ reason: 'changed-meanwhile' })
  expect((await invoiceOf(actor, invoiceId)).note).toBe('First window')
  accepted(await save('First window, again', first.seen))
})

function asTyped({
  placeName: _,
  billsWork: __,
  ...line
}: NonNullable<Awaited<ReturnType<typeof invoicePage>>>['lines'][number]) {
  return line
}

test('the tank’s own purchase order is on its parts and visits too', async () => {
  await makePrice(actor, { name: 'Tube', kind: 'part', unit: 'piece', unitPrice: '6.40' })
  await makeAgreement(actor, place, '2026-11-01', { purchaseOrder: 'TANK-7' })
  await makePart(actor, place, '2026-11-10', { description: 'Tube', quantity: '2' })
  await makeDoneVisit(actor, place, '2026-11-10', { kind: 'call_out' })
  const [draft, ...others] = await draftsThrough(actor, '2026-11')
  expect(others).toEqual([])
  expect(await invoiceOf(actor, draft ?? '')).toMatchObject({ purchaseOrder: 'TANK-7', netMinor: 18_000 + 1280 + 5500 })
})

test('a visit out of hours is billed at the price for that', async () => {
  await makePrice(actor, { name: 'Late call-out', unitPrice: '80', forVisitKind: 'out_of_hours' })
  const visit = await makeDoneVisit(actor, place, '2026-11-10', { kind: 'call_out' })
  await look(actor, (tx) => tx.visit.update({ where: at(visit), data: { outOfHours: true } }))
  expect(await proposed('2026-11')).toEqual([['Call-out 10 Nov, out of hours, 40 min', 8000]])
})

test('drafts for one client; each draft says what is different from the last invoice', async () => {
  const other = await makePlace(actor, 'Linden Clinic')
  await makeAgreement(actor, place, '2026-09-01')
  await makeAgreement(actor, other, '2026-09-01')
  await billed('2026-09')
  await makeDoneVisit(actor, place, '2026-10-05', { kind: 'call_out' })
  const input = { ...fresh(actor), through: '2026-10', since: '2026-01', payerIds: [place.clientId] }
  const { invoiceIds } = accepted(await makeDrafts(actor, input))
  expect(invoiceIds).toHaveLength(1)
  const { drafts } = await moneyPage(actor, { through: '2026-10', filter: 'all', search: '', page: 1 })
  expect(drafts.drafts.map(({ sinceLast }) => sinceLast)).toEqual([
    { number: expect.any(String), differenceMinor: 5500, reasons: ['one visit or call-out, 0 last time'] },
  ])
})

describe('issue all that are ready', () => {
  test('cut off in the middle and sent again: each draft has one number, none is missing', async () => {
    const drafts: { invoiceId: string; expectedGrossMinor: number }[] = []
    for (let made = 0; made < 6; made += 1)
      drafts.push({ invoiceId: await makeFreeDraft(actor, place.clientId), expectedGrossMinor: 4800 })
    const input = { ...fresh(actor), issuedOn: '2026-11-25', drafts }
    // What a process that died after the third had done: the same commands, in the same order.
    for (const { invoiceId, expectedGrossMinor } of drafts.slice(0, 3))
      accepted(
        await issueInvoice(actor, {
          ...{ id: rowId(input.id, invoiceId), businessId: actor.businessId, invoiceId },
          ...{ issuedOn: input.issuedOn, expectedGrossMinor, earlierDayAccepted: false },
        }),
      )
    const numbers = ['INV-0001', 'INV-0002', 'INV-0003', 'INV-0004', 'INV-0005', 'INV-0006']
    expect(accepted(await issueReady(actor, input)).issued.map(({ number }) => number)).toEqual(numbers)
    const both = await Promise.all([issueReady(actor, input), issueReady(actor, input)])
    for (const again of both) expect(accepted(again).issued.map(({ number }) => number)).toEqual(numbers)
  })

  test('all that are ready are offered, whatever the page; two at once issue each of them once', async () => {
    for (let made = 0; made < 52; made += 1) await makeFreeDraft(actor, place.clientId)
    const page = (draftPage: number) =>
      moneyPage(actor, { through: '2026-11', filter: 'all', search: '', page: 1, draftPage }).then(
        ({ drafts }) => drafts,
      )
    const [first, second] = [await page(1), await page(2)]
    expect([first.drafts.length, second.drafts.length, first.total]).toEqual([50, 2, 52])
    expect([first.ready.length, second.ready.length]).toEqual([52, 52])
    const drafts = first.ready
      .slice(-2)
      .map(({ id, grossMinor }) => ({ invoiceId: id, expectedGrossMinor: grossMinor }))
    const act = () => issueReady(actor, { ...fresh(actor), issuedOn: '2026-11-25', drafts })
    const all = (await Promise.all([act(), act()])).flatMap((answer) => accepted(answer).issued)
    expect(all.filter(({ number }) => number !== null)).toHaveLength(2)
    expect(all.filter(({ isMeanwhile }) => isMeanwhile)).toHaveLength(2)
    expect((await page(1)).ready).toHaveLength(50)
  })

  test('one that is refused leaves the others', async () => {
    const [first, second] = [await makeFreeDraft(actor, place.clientId), await makeFreeDraft(actor, place.clientId)]
    const seen = (invoiceId: string, expectedGrossMinor: number) => ({ invoiceId, expectedGrossMinor })
    const drafts = [seen(first, 4799), seen(second, 4800)]
    const { issued } = accepted(await issueReady(actor, { ...fresh(actor), issuedOn: '2026-11-25', drafts }))
    expect(issued.map(({ number }) => number)).toEqual([null, 'INV-0001'])
    accepted(await discardDraft(actor, { ...fresh(actor), invoiceId: first }))
  })
})

test('a month in part is said on its draft too, until it is issued', async () => {
  await makeAgreement(actor, place, '2026-11-12')
  const [draft = ''] = await draftsThrough(actor, '2026-11')
  const issues = (await invoicePage(actor, draft))?.issues.filter(({ code }) => code === 'part-month')
  expect(issues).toMatchObject([
    {
      blocking: false,
      message: expect.stringContaining('covers 19 of the 30 days of November 2026. The month is billed whole'),
    },
  ])
  accepted(await issue(actor, draft))
  expect((await invoicePage(actor, draft))?.issues).toEqual([])
})
