import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import {
  creditInvoice,
  discardDraft,
  editDraft,
  startDraft,
  takeBackWaiver,
  waiveCharge,
} from '@/lib/office/money/commands'
import { chargesPage } from '@/lib/office/money/queries'
import { testDatabase } from '../../setup/database'
import { pinClock } from '../../setup/pinned-clock'
import { accepted } from '../clients/register'
import { draftsThrough, fresh, invoiceOf, issue, makePlace, makeSeller, type Place } from './books'

let actor: Actor
let place: Place

beforeAll(async () => {
  pinClock(new Date('2026-11-25T12:00:00Z'))
  await testDatabase()
})
beforeEach(async () => {
  actor = await makeSeller('Tidepool Care')
  place = await makePlace(actor, 'Brindle Hotel')
})

/** An issued invoice of these lines by hand, for no tank: description and price. */
async function billed(...written: [string, string][]): Promise<string> {
  const { invoiceId } = accepted(await startDraft(actor, { ...fresh(actor), clientId: place.clientId }))
  const lines = written.map(([description, unitPrice]) => ({
    ...{ id: newId(), description, quantity: '1', unit: '', unitPrice, taxCategory: 'S' as const, taxRate: '20' },
    ...{ taxExemptionReason: '', serviceStart: '2026-11-02', serviceEnd: '2026-11-02' },
  }))
  accepted(await editDraft(actor, { ...fresh(actor), invoiceId, purchaseOrder: '', note: '', lines }))
  accepted(await issue(actor, invoiceId))
  return invoiceId
}

/** Credits the whole invoice; each line is billed again, or waived, by its place. */
async function credited(invoiceId: string, ...effects: ('reopen' | 'waive')[]): Promise<void> {
  const { invoiceLines } = await invoiceOf(actor, invoiceId)
  const lines = invoiceLines.map(({ id }, at) => ({ lineId: id, quantity: '1', effect: effects[at] ?? 'waive' }))
  const note = accepted(await creditInvoice(actor, { ...fresh(actor), invoiceId, reason: 'Wrong order', lines }))
  accepted(await issue(actor, note.invoiceId))
}

async function proposed() {
  const [draft] = await draftsThrough(actor, '2026-11')
  if (draft === undefined) return []
  const { invoiceLines } = await invoiceOf(actor, draft)
  accepted(await discardDraft(actor, { ...fresh(actor), invoiceId: draft }))
  return invoiceLines.map(({ description, netMinor }) => [description, netMinor])
}

describe('a line that takes something off', () => {
  test('credited to be billed again, it comes back with what it was taken off', async () => {
    await credited(await billed(['Moving the tank', '100'], ['Discount for the wait', '-10']), 'reopen', 'reopen')
    expect(await proposed()).toEqual([
      ['Moving the tank', 10_000],
      ['Discount for the wait', -1000],
    ])
  })

  test('waived, it does not; nor does one that was never credited', async () => {
    await billed(['Gravel', '20'], ['Less what was left over', '-5'])
    await credited(await billed(['Moving the tank', '100'], ['Discount for the wait', '-10']), 'reopen', 'waive')
    expect(await proposed()).toEqual([['Moving the tank', 10_000]])
  })
})

test('a line by hand that is open again is seen with its client, never billed, and billed after all', async () => {
  await credited(await billed(['Moving the tank', '100']), 'reopen')
  const ofNoTank = async () => (await chargesPage(actor, { clientId: place.clientId }))?.places.at(-1)
  expect(await ofNoTank()).toMatchObject({
    billedMinor: 0,
    rows: [{ what: 'Moving the tank', openMinor: 10_000, why: 'A credit note said to bill it again.' }],
  })
  const key = (await ofNoTank())?.rows[0]?.key
  if (!key) throw new Error('there is a row')
  const { waiverId } = accepted(await waiveCharge(actor, { ...fresh(actor), ...key, reason: 'A gift' }))
  expect(await proposed()).toEqual([])
  expect((await ofNoTank())?.rows).toMatchObject([{ openMinor: 0, waivedMinor: 10_000, waiverId }])
  accepted(await takeBackWaiver(actor, { ...fresh(actor), waiverId }))
  expect(await proposed()).toEqual([['Moving the tank', 10_000]])
  const other = await makePlace(actor, 'Linden Clinic')
  expect((await chargesPage(actor, { clientId: other.clientId }))?.places).toEqual([])
})
