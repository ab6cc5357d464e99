import { describe, expect, test } from 'vitest'
import { readFrozenBuyer, readFrozenSeller } from '@/lib/office/money/frozen-parties'
import { dueDate, paymentStanding } from '@/lib/office/money/payment-state'
import { amountInWords, invoiceView, type MoneyDocument } from '@/lib/office/money/projection'

const standard = { category: 'S', ratePercent: '20.00' } as const

/** The figures of the drawn invoice: 180.00 + 55.00 + 2 × 6.40, 20 % tax, to pay by 9 December. */
const document: MoneyDocument = {
  documentType: 'invoice',
  number: '2026-0418',
  issuedOn: '2026-11-25',
  dueOn: dueDate('2026-11-25', 14),
  serviceStart: '2026-11-01',
  serviceEnd: '2026-11-30',
  currency: 'GBP',
  purchaseOrder: '77120',
  note: '',
  // As the first version froze them.
  seller: readFrozenSeller({
    name: 'Harbour Lane Aquarium Care',
    address: '4 Harbour Lane\nPort Ellery',
    taxNumber: 'XX 000 0000 00',
    contact: '01632 960118\noffice@harbourlane.example',
    iban: 'GB82WEST12345698765432',
    bic: 'WESTGB2L',
    accountName: '',
    style: { locale: 'en-GB', pageSize: 'A4' },
  }),
  buyer: readFrozenBuyer({ name: 'Port Ellery School', address: 'Finance office', taxNumber: '', contact: '' }),
  credits: null,
  lines: [
    {
      description: 'Agreement, two visits (12 and 26 Nov)',
      placeName: 'Hall',
      quantity: '1.000',
      unit: 'month',
      unitPrice: '180.0000',
      tax: standard,
    },
    {
      description: 'Call-out 18 Nov, skimmer, 40 min',
      placeName: 'Hall',
      quantity: '1',
      unit: '',
      unitPrice: '55',
      tax: standard,
    },
    { description: 'Dosing tube', placeName: 'Hall', quantity: '2', unit: 'piece', unitPrice: '6.4', tax: standard },
  ],
  payments: [],
  credited: [],
}
const style = { locale: 'en-GB', pageSize: 'A4' } as const

describe('an invoice on paper, as the first version froze it', () => {
  test('names the parties as they were frozen, their address as it was written', () => {
    const view = invoiceView(document, style)
    expect(view.business).toEqual({
      name: 'Harbour Lane Aquarium Care',
      addressLines: ['4 Harbour Lane', 'Port Ellery'],
      detailLines: ['Tax no. XX 000 0000 00', '01632 960118', 'office@harbourlane.example'],
    })
    expect(view.client).toEqual({ name: 'Port Ellery School', addressLines: ['Finance office'], detailLines: [] })
    expect(view).toMatchObject({ taxName: 'Tax', footer: [] })
  })

  test('says the sums, the day and the period in words', () => {
    const view = invoiceView(document, style)
    expect(view.summary).toEqual([
      { label: 'Net', amount: '247.80' },
      { label: 'Tax 20\u00a0% of 247.80', amount: '49.56' },
    ])
    expect(view.final).toEqual({ label: 'To pay by 9 December', amount: '297.36' })
    expect(view.facts).toEqual([
      { label: 'Your order', value: '77120' },
      { label: 'Service', value: '1–30 November 2026' },
      { label: 'Place', value: 'Hall' },
    ])
    expect(view.lines[2]).toMatchObject({ quantity: '2', unit: '', unitPrice: '6.40', tax: '20\u00a0%', net: '12.80' })
  })

  test('a part payment leaves the rest, a full one nothing; both are shown', () => {
    const part = invoiceView({ ...document, payments: [{ amountMinor: 10000, receivedOn: '2026-12-01' }] }, style)
    expect(part.state).toBe('part_paid')
    expect(part.final).toEqual({ label: 'Still to pay by 9 December', amount: '197.36' })
    expect(part.summary.at(-1)).toEqual({ label: 'Paid 1 December 2026', amount: '−100.00' })
    const full = invoiceView({ ...document, payments: [{ amountMinor: 29736, receivedOn: '2026-12-01' }] }, style)
    expect(full.state).toBe('paid')
    expect(full.final.label).toBe('Paid in full, thank you')
    expect(full.payment).toBeNull()
  })

  test('a due day in the next year names the year', () => {
    const view = invoiceView({ ...document, issuedOn: '2026-12-20', dueOn: '2027-01-03' }, style)
    expect(view.final.label).toBe('To pay by 3 January 2027')
  })

  test('exemption reasons are printed, and a draft has neither number nor reference', () => {
    const tax = { category: 'E', ratePercent: '0', exemptionReason: 'small business' } as const
    const view = invoiceView(
      { ...document, number: null, lines: document.lines.map((line) => ({ ...line, tax })) },
      style,
    )
    expect(view.notes).toEqual(['Exempt: small business'])
    expect(view.state).toBe('draft')
  })

  test('two tanks: each line says which', () => {
    const [first, ...rest] = document.lines
    if (!first) throw new Error('the sample has lines')
    const view = invoiceView({ ...document, lines: [{ ...first, placeName: 'Foyer' }, ...rest] }, style)
    expect(view.lines.map((line) => line.detail)).toEqual(['Foyer', 'Hall', 'Hall'])
  })
})

test('amounts in the reader’s language, without passing through a float', () => {
  expect(amountInWords(123456789, 'EUR', 'de-DE')).toBe('1.234.567,89')
  expect(amountInWords(-5, 'GBP', 'en-GB')).toBe('−0.05')
  expect(amountInWords(9007199254740991, 'GBP', 'en-GB')).toBe('90,071,992,547,409.91')
  expect(amountInWords(1500, 'JPY', 'en-GB')).toBe('1,500')
})

describe('how an invoice stands', () => {
  const invoice = { grossMinor: 29736, creditedMinor: 0, dueOn: '2026-12-09' }
  test.each([
    [[], 'unpaid', 29736, 3],
    [[10000], 'part_paid', 19736, 3],
    [[10000, 19736], 'paid', 0, 0],
    [[29737], 'overpaid', -1, 0],
    [[29736, -29736], 'unpaid', 29736, 3],
  ] as const)('payments %j: %s', (amounts, state, outstandingMinor, daysLate) => {
    const payments = amounts.map((amountMinor) => ({ amountMinor, receivedOn: '2026-12-10' }))
    expect(paymentStanding(invoice, payments, '2026-12-12')).toMatchObject({ state, outstandingMinor, daysLate })
  })

  test('on the due day it is not late, and a credit note lowers what is owed', () => {
    expect(paymentStanding(invoice, [], '2026-12-09').daysLate).toBe(0)
    expect(paymentStanding({ ...invoice, creditedMinor: 29736 }, [], '2027-01-01').state).toBe('credited')
  })
})
