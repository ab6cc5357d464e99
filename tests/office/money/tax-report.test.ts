import { beforeAll, expect, test } from 'vitest'
import type { Actor } from '@/lib/office/frame/actor'
import { creditInvoice } from '@/lib/office/money/commands'
import { booksPage, taxPage } from '@/lib/office/money/queries'
import type { TaxBasis } from '@/lib/office/money/tax-report'
import { testDatabase } from '../../setup/database'
import { pinClock } from '../../setup/pinned-clock'
import { accepted } from '../clients/register'
import { fresh, invoiceOf, issue, makeFreeDraft, makePlace, makeSeller } from './books'

let actor: Actor

beforeAll(async () => {
  pinClock(new Date('2027-01-15T12:00:00Z'))
  await testDatabase()
  actor = await makeSeller('Tidepool Care')
})

const NOVEMBER = { from: '2026-11-01', to: '2026-11-30' }
const JANUARY = { from: '2027-01-01', to: '2027-01-31' }
const taxOf = async (period: typeof NOVEMBER, basis: TaxBasis) =>
  (await booksPage(actor, { ...period, basis })).taxSums.map(({ taxableMinor, taxMinor }) => [taxableMinor, taxMinor])

test('by service, a credit note lessens the tax from its own day on: what was reported stays', async () => {
  const { clientId } = await makePlace(actor, 'Brindle Hotel')
  const invoiceId = await makeFreeDraft(actor, clientId, { unitPrice: '100' }) // its service is of 2 November
  accepted(await issue(actor, invoiceId, '2026-12-01'))
  expect(await taxOf(NOVEMBER, 'service')).toEqual([[10_000, 2000]])
  const [line] = (await invoiceOf(actor, invoiceId)).invoiceLines
  const lines = [{ lineId: line?.id ?? '', amount: '10', effect: 'waive' as const }]
  const note = accepted(await creditInvoice(actor, { ...fresh(actor), invoiceId, reason: 'Goodwill', lines }))
  accepted(await issue(actor, note.invoiceId, '2027-01-10'))
  expect(await taxOf(NOVEMBER, 'service')).toEqual([[10_000, 2000]])
  expect(await taxOf(JANUARY, 'service')).toEqual([[-1000, -200]])
  const rate = { currency: 'GBP', category: 'S' as const, ratePercent: '20', name: '' }
  const { documents, words } = await taxPage(actor, { ...JANUARY, basis: 'service', ...rate, page: 1 })
  expect([words, (await booksPage(actor, JANUARY)).taxSums[0]?.words]).toEqual(['VAT', 'VAT'])
  expect(documents).toMatchObject([{ id: note.invoiceId, taxableMinor: -1000, taxMinor: -200 }])
})
