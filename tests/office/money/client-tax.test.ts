import { beforeAll, expect, test } from 'vitest'
import { editClient } from '@/lib/office/clients/client-commands'
import { findClient } from '@/lib/office/clients/client-page'
import type { Actor } from '@/lib/office/frame/actor'
import { startDraft } from '@/lib/office/money/commands'
import { invoicePage } from '@/lib/office/money/queries'
import { testDatabase } from '../../setup/database'
import { pinClock } from '../../setup/pinned-clock'
import { accepted, fresh as registerFresh } from '../clients/register'
import {
  draftsThrough,
  fresh,
  invoiceOf,
  issue,
  makeAgreement,
  makeDoneVisit,
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
  actor = await makeSeller('Tidepool Care')
  place = await makePlace(actor, 'Brindle Hotel')
  await makePrice(actor, { name: 'Call-out', forVisitKind: 'call_out' })
})

/** Saves the client's form with something else in it. */
async function change(given: object): Promise<void> {
  const client = await findClient(actor, place.clientId)
  if (!client) throw new Error('the client is there')
  const input = { ...registerFresh(actor), clientId: place.clientId, ...client.fields, ...given }
  accepted(await editClient(actor, input))
}

test('how a client is taxed is written on its page, stays there, and holds for fees, visits and lines by hand', async () => {
  expect((await findClient(actor, place.clientId))?.fields.taxCategory).toBe('')
  await change({ taxCategory: 'AE', billingCountry: 'DE' })
  await change({ phone: '01632 960999' })
  expect((await findClient(actor, place.clientId))?.fields.taxCategory).toBe('AE')
  await makeAgreement(actor, place, '2026-11-01')
  await makeDoneVisit(actor, place, '2026-11-18', { kind: 'call_out' })
  const [draft = ''] = await draftsThrough(actor, '2026-11')
  const { invoiceLines, taxMinor } = await invoiceOf(actor, draft)
  expect(invoiceLines.map(({ taxCategory, taxExemptionReason }) => [taxCategory, taxExemptionReason])).toEqual([
    ['AE', 'Reverse charge'],
    ['AE', 'Reverse charge'],
  ])
  expect(taxMinor).toBe(0)
  expect(await issue(actor, draft)).toMatchObject({
    words: expect.stringContaining('The client’s tax number is missing'),
  })
  await change({ taxNumber: 'DE123456789' })
  accepted(await issue(actor, draft))
  const { invoiceId } = accepted(await startDraft(actor, { ...fresh(actor), clientId: place.clientId }))
  const page = await invoicePage(actor, invoiceId)
  expect([
    page?.defaultTax.taxCategory,
    page?.prices.map(({ taxCategory, taxRate }) => [taxCategory, taxRate]),
  ]).toEqual(['AE', [['AE', '0']]])
  await change({ taxCategory: '' })
  expect((await invoicePage(actor, invoiceId))?.defaultTax.taxCategory).not.toBe('AE')
})
