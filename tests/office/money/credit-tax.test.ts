import { expect, test } from 'vitest'
import { creditTotals } from '@/lib/office/money/credit-tax'
import { invoiceTotals } from '@/lib/office/money/totals'

// From the rules themselves: credit notes that take back all of an invoice take back all of each of its taxes.
test('two credits of a line under two named taxes clear each of them to the penny', () => {
  const parts = [
    { name: 'State', ratePercent: '4' },
    { name: 'City', ratePercent: '4.5' },
  ]
  const tax = { category: 'S' as const, ratePercent: '8.5', parts }
  const line = (unitPrice: string) => ({ quantity: '1', unitPrice, tax })
  // 10.11: 4 % is 0.4044, 4.5 % is 0.45495. Of 5.05: 0.202 and 0.22725; of 5.06: 0.2024 and 0.2277.
  const invoice = invoiceTotals({ currency: 'USD', lines: [line('10.11')] }).taxGroups
  expect(invoice.map(({ taxMinor }) => taxMinor)).toEqual([40, 45])
  const credit = (price: string, others: (typeof invoice)[], isLast: boolean) =>
    creditTotals({
      ...{ currency: 'USD', lines: [line(price)], invoice, others },
      ...{ isCleared: () => isLast, hasNegative: () => false },
    }).taxGroups
  const first = credit('5.05', [], false)
  expect(first.map(({ name, taxMinor }) => [name, taxMinor])).toEqual([
    ['State', 20],
    ['City', 23],
  ])
  const last = credit('5.06', [first], true)
  expect(last.map(({ name, taxMinor }) => [name, taxMinor])).toEqual([
    ['State', 20],
    ['City', 22],
  ])
})
