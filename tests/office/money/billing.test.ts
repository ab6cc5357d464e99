import { beforeAll, describe, expect, test } from 'vitest'
import { mergeClients } from '@/lib/office/clients/merge-commands'
import type { Actor } from '@/lib/office/frame/actor'
import { creditInvoice, discardDraft, editDraft, makeDrafts } from '@/lib/office/money/commands'
import { testDatabase } from '../../setup/database'
import { pinClock } from '../../setup/pinned-clock'
import { accepted, look, fresh as registerFresh } from '../clients/register'
import {
  draftsThrough,
  fresh,
  invoiceOf,
  issue,
  makeAgreement,
  makeDoneVisit,
  makePart,
  makePlace,
  makePrice,
  makeSeller,
  type Place,
} from './books'

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
  await makePrice(actor, { name: 'Call-out', forVisitKind: 'call_out' })
}

const linesOf = async (id: string | undefined) =>
  (await invoiceOf(actor, id ?? '')).invoiceLines.map((line) => [
    line.description,
    line.quantity.toFixed(),
    line.netMinor,
  ])

describe('from unbilled work to a draft', () => {
  beforeAll(newBooks)

  test('fee, call-out and part stand on one draft with their totals, and are billed once', async () => {
    const tube = await makePrice(actor, { name: 'Dosing tube', kind: 'part', unit: 'piece', unitPrice: '6.40' })
    await makeAgreement(actor, place, '2026-11-01', { purchaseOrder: '' })
    await makeDoneVisit(actor, place, '2026-11-12')
    await makeDoneVisit(actor, place, '2026-11-26')
    const callOut = await makeDoneVisit(actor, place, '2026-11-18', { kind: 'call_out', whatFor: 'skimmer' })
    const part = await makePart(actor, place, '2026-11-18', {
      description: 'Dosing tube',
      quantity: '2',
      priceItemId: tube,
    })
    const [draft, ...others] = await draftsThrough(actor, '2026-11')
    expect(others).toEqual([])
    expect(await linesOf(draft)).toEqual([
      ['Agreement, two visits (12 and 26 Nov)', '1', 18_000],
      ['Call-out 18 Nov, skimmer, 40 min', '1', 5500],
      ['Dosing tube', '2', 1280],
    ])
    // 247.80 net; 20 % of it is 49.56 (EN 16931 BR-S-09: tax on the sum of the lines, not by line).
    expect(await invoiceOf(actor, draft ?? '')).toMatchObject({ netMinor: 24_780, taxMinor: 4956, grossMinor: 29_736 })
    const sources = (await invoiceOf(actor, draft ?? '')).invoiceLines.map((line) => line.visitId ?? line.partUsedId)
    expect(sources).toEqual([null, callOut, part])
    expect(await draftsThrough(actor, '2026-11')).toEqual([])
  })

  test('the same command twice makes no second draft', async () => {
    await makeDoneVisit(actor, place, '2026-11-19', { kind: 'call_out' })
    const input = { ...fresh(actor), through: '2026-11' }
    const first = accepted(await makeDrafts(actor, input))
    expect(first.invoiceIds).toHaveLength(1)
    expect(accepted(await makeDrafts(actor, input))).toEqual(first)
  })

  test('eight people making drafts at once bill a visit once', async () => {
    const visitId = await makeDoneVisit(actor, place, '2026-11-20', { kind: 'call_out' })
    const made = await Promise.all(Array.from({ length: 8 }, () => draftsThrough(actor, '2026-11')))
    expect(made.flat()).toHaveLength(1)
    expect(await look(actor, (tx) => tx.invoiceLine.count({ where: { visitId } }))).toBe(1)
  })
})

describe('what is not billed', () => {
  beforeAll(newBooks)

  test('return checks, refused doors without a clause, work not yet done and months to come', async () => {
    await makeAgreement(actor, place, '2026-11-01')
    await makeDoneVisit(actor, place, '2026-11-03', { kind: 'return_check' })
    await makeDoneVisit(actor, place, '2026-11-04', { kind: 'call_out', outcome: 'no_access' })
    await makeDoneVisit(actor, place, '2026-12-04', { kind: 'call_out' })
    expect(await draftsThrough(actor, '2026-10')).toEqual([])
    const [draft] = await draftsThrough(actor, '2026-11')
    expect(await linesOf(draft)).toEqual([['Agreement, no visits', '1', 18_000]])
  })

  test('a part without a price waits until the list knows its name', async () => {
    await makePart(actor, place, '2026-11-05', { description: 'Impeller', quantity: '1' })
    expect(await draftsThrough(actor, '2026-11')).toEqual([])
    await makePrice(actor, { name: 'impeller', kind: 'part', unit: 'piece', unitPrice: '18.5' })
    const [draft] = await draftsThrough(actor, '2026-11')
    expect(await linesOf(draft)).toEqual([['Impeller', '1', 1850]])
  })

  test('an agreement written down this month is not billed for years gone by', async () => {
    const other = await makePlace(actor, 'Linden Clinic')
    const written = '2026-11'
    await makeAgreement(actor, other, '2019-03-01', { createdAt: new Date(`${written}-16T09:00:00Z`) })
    const { invoiceIds } = accepted(await makeDrafts(actor, { ...fresh(actor), through: written }))
    const drafts = await Promise.all(invoiceIds.map((id) => invoiceOf(actor, id)))
    const [draft] = drafts.filter(({ clientId }) => clientId === other.clientId)
    expect(draft?.serviceStart?.toISOString().slice(0, 7)).toBe(written)
  })
})

describe('who pays', () => {
  beforeAll(newBooks)

  test('the site’s other payer, with the payer’s order number', async () => {
    const head = await makePlace(actor, 'Brindle Group', { name: 'Brindle Group', purchaseOrder: 'PO-9' })
    await look(actor, (tx) =>
      tx.site.update({
        where: { businessId_id: { businessId: actor.businessId, id: place.siteId } },
        data: { payerClientId: head.clientId },
      }),
    )
    await makeDoneVisit(actor, place, '2026-11-10', { kind: 'call_out' })
    const [draft] = await draftsThrough(actor, '2026-11')
    expect(await invoiceOf(actor, draft ?? '')).toMatchObject({ clientId: head.clientId, purchaseOrder: 'PO-9' })
  })

  test('after a merge, the client that was kept', async () => {
    const twice = await makePlace(actor, 'Linden Clinic')
    const kept = await makePlace(actor, 'Linden Clinic Ltd')
    await makeDoneVisit(actor, twice, '2026-11-11', { kind: 'call_out' })
    accepted(
      await mergeClients(actor, { ...registerFresh(actor), survivorId: kept.clientId, duplicateId: twice.clientId }),
    )
    const [draft] = await draftsThrough(actor, '2026-11')
    expect((await invoiceOf(actor, draft ?? '')).clientId).toBe(kept.clientId)
  })
})

describe('a draft', () => {
  beforeAll(newBooks)

  async function callOutDraft(day: string) {
    await makeDoneVisit(actor, place, day, { kind: 'call_out', minutes: 100 })
    const [draft] = await draftsThrough(actor, '2026-11')
    return invoiceOf(actor, draft ?? '')
  }

  const typed = (line: Awaited<ReturnType<typeof invoiceOf>>['invoiceLines'][number]) => ({
    id: line.id,
    description: line.description,
    quantity: line.quantity.toFixed(),
    unit: line.unit,
    unitPrice: line.unitPrice.toFixed(),
    taxCategory: 'S' as const,
    taxRate: '20',
    taxExemptionReason: '',
    serviceStart: '2026-11-10',
    serviceEnd: '2026-11-10',
  })

  test('a line taken off is unbilled again, a line kept is not', async () => {
    const draft = await callOutDraft('2026-11-10')
    expect(draft.invoiceLines).toHaveLength(2) // the first hour, then three quarters begun
    const [first] = draft.invoiceLines
    if (!first) throw new Error('no line')
    const kept = [{ ...typed(first), unitPrice: '60' }]
    const edit = { ...fresh(actor), invoiceId: draft.id, purchaseOrder: 'A-1', note: '', lines: kept }
    expect(accepted(await editDraft(actor, edit))).toMatchObject({ invoiceId: draft.id, grossMinor: 7200 })
    expect(await draftsThrough(actor, '2026-11')).toEqual([])
    accepted(await discardDraft(actor, { ...fresh(actor), invoiceId: draft.id }))
    expect(await draftsThrough(actor, '2026-11')).toHaveLength(1)
  })

  test('what a credit reopens is billed again: the rest of it while some stands, its own lines once all is taken back', async () => {
    const draft = await callOutDraft('2026-11-13')
    accepted(await issue(actor, draft.id))
    const credit = async (line: { lineId: string; quantity: string }) => {
      const lines = [{ ...line, effect: 'reopen' as const }]
      const { invoiceId } = accepted(
        await creditInvoice(actor, {
          ...fresh(actor),
          invoiceId: draft.id,
          reason: 'Billed to the wrong site.',
          lines,
        }),
      )
      accepted(await issue(actor, invoiceId))
    }
    const [first, further] = draft.invoiceLines
    if (!first || !further) throw new Error('two lines expected')
    await credit({ lineId: first.id, quantity: '1' })
    const [rest] = await draftsThrough(actor, '2026-11')
    expect(await linesOf(rest)).toEqual([['Call-out 13 Nov, difference to what was billed', '1', 5500]])
    accepted(await discardDraft(actor, { ...fresh(actor), invoiceId: rest ?? '' }))
    await credit({ lineId: further.id, quantity: '3' })
    const [again] = await draftsThrough(actor, '2026-11')
    expect(await linesOf(again)).toEqual(
      draft.invoiceLines.map((l) => [l.description, l.quantity.toFixed(), l.netMinor]),
    )
  })

  test('another business sees and changes nothing of it', async () => {
    const draft = await callOutDraft('2026-11-16')
    const stranger = await makeSeller('Another Round')
    const discarded = await discardDraft(stranger, { ...fresh(stranger), invoiceId: draft.id })
    expect(discarded).toMatchObject({ ok: false, reason: 'not-found' })
    expect(await draftsThrough(stranger, '2026-11')).toEqual([])
    const theirs = await discardDraft(actor, { ...fresh(stranger), invoiceId: draft.id })
    expect(theirs).toMatchObject({ ok: false, reason: 'other-business' })
    const technician = { ...actor, roles: ['technician' as const] }
    expect(await discardDraft(technician, { ...fresh(actor), invoiceId: draft.id })).toMatchObject({
      reason: 'not-allowed',
    })
    expect((await invoiceOf(actor, draft.id)).state).toBe('draft')
  })
})
