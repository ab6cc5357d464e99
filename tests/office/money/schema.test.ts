import { describe, expect, test } from 'vitest'
import type { z } from 'zod'
import { editDraftSchema, priceItemSchema, recordPaymentSchema } from '@/lib/office/money/schema'

const id = '019351a0-0000-7000-8000-000000000001'
const ids = { id, businessId: id, invoiceId: id }

function messages(schema: z.ZodType, value: unknown): Record<string, string[]> {
  const parsed = schema.safeParse(value)
  const found: Record<string, string[]> = {}
  for (const issue of parsed.error?.issues ?? []) {
    const field = issue.path.join('.')
    found[field] = [...(found[field] ?? []), issue.message]
  }
  return found
}

describe('recording a payment', () => {
  const payment = { ...ids, receivedOn: '2026-12-01', amount: '297.36' }

  test.each(['297.36', '297,36', '1 297.36', '1,297.36', '£20', '-20', '100'])('takes “%s”', (amount) => {
    expect(messages(recordPaymentSchema, { ...payment, amount })).toEqual({})
  })

  test.each([
    ['', 'Write the amount that came in.'],
    ['about 20', 'Write the amount as a number, for example 297.36.'],
    ['0.00', 'A payment of nothing cannot be recorded.'],
  ])('says what is wrong with “%s”', (amount, message) => {
    expect(messages(recordPaymentSchema, { ...payment, amount }).amount).toContain(message)
  })

  test('a day that does not exist is refused in words', () => {
    expect(messages(recordPaymentSchema, { ...payment, receivedOn: '2026-02-30' })).toEqual({
      receivedOn: ['Write the day the money came in.'],
    })
  })
})

describe('a price', () => {
  const item = {
    id,
    businessId: id,
    name: 'Dosing tube',
    kind: 'part',
    unit: 'piece',
    unitPrice: '6,40',
    taxCategory: 'S',
    taxRate: '20',
    validFrom: '2026-01-01',
  }

  test('a decimal comma is read as a point', () => {
    expect(priceItemSchema.parse(item)).toMatchObject({ unitPrice: '6.40', taxExemptionReason: '' })
  })

  test.each([
    ['£6.40', '6.40'],
    ['6,40 €', '6.40'],
    ['1,297.50', '1297.50'],
    ['1 297', '1297'],
    ['1,297', '1297'], // as a payment reads it
    ['1,297,000', '1297000'],
  ])('“%s” is read as %s', (unitPrice, read) => {
    expect(priceItemSchema.parse({ ...item, unitPrice })).toMatchObject({ unitPrice: read })
  })

  test.each([
    [{ unitPrice: '-1' }, 'unitPrice', 'A price cannot be below 0.'],
    [{ unitPrice: '\u22121' }, 'unitPrice', 'A price cannot be below 0.'], // the minus that screens print
    [{ unitPrice: '1.23456' }, 'unitPrice', 'At most 10 figures before the point and 4 after it.'],
    [{ unitPrice: 'cheap' }, 'unitPrice', 'Write the price as a number, for example 2 or 0.5.'],
    [{ taxRate: '0' }, 'taxRate', 'A taxed line needs a rate above 0 %.'],
    [{ taxRate: '101' }, 'taxRate', 'A tax rate lies between 0 and 100 %.'],
    [
      { taxCategory: 'E', taxRate: '0' },
      'taxExemptionReason',
      '“Exempt” needs the reason in words, for example the law it rests on.',
    ],
    [{ name: '  ' }, 'name', 'Give it a name, as it should stand on the invoice.'],
  ])('%j is refused in words', (change, field, message) => {
    expect(messages(priceItemSchema, { ...item, ...change })[field]).toContain(message)
  })
})

describe('switching how something is taxed', () => {
  const item = {
    id,
    businessId: id,
    name: 'Tube',
    kind: 'part',
    unit: 'piece',
    unitPrice: '6.40',
    validFrom: '2026-01-01',
  }
  const hidden = { taxExemptionReason: 'Not subject to VAT', taxRate: '20', taxParts: 'State 4 + City 4.5' }

  // What a form still holds of the category before is not shown any more: nobody could take it out.
  test('takes off what does not belong to the new category, and is not refused for it', () => {
    const read = (taxCategory: string, change: object = {}) =>
      priceItemSchema.parse({ ...item, ...hidden, taxCategory, ...change })
    expect(read('S', { taxParts: '' })).toMatchObject({ taxRate: '20', taxExemptionReason: '', taxParts: '' })
    expect(read('Z')).toMatchObject({ taxRate: '0', taxExemptionReason: '', taxParts: '' })
    expect(read('O')).toMatchObject({ taxRate: '0', taxExemptionReason: 'Not subject to VAT', taxParts: '' })
    // What a category says by itself (EN 16931 BR-O-10, BR-AE-10) need not be typed; an exemption rests on a law.
    expect(read('O', { taxExemptionReason: '' })).toMatchObject({ taxExemptionReason: 'Not subject to VAT' })
    expect(read('AE', { taxExemptionReason: '' })).toMatchObject({ taxExemptionReason: 'Reverse charge' })
    expect(read('S')).toMatchObject({ taxRate: '8.5', taxParts: 'State 4 + City 4.5', taxExemptionReason: '' })
  })

  test('a rate of up to four decimals; named taxes that cannot be read are asked about', () => {
    const taxed = { ...item, taxCategory: 'S', taxRate: '8.875' }
    expect(priceItemSchema.parse(taxed)).toMatchObject({ taxRate: '8.875' })
    expect(messages(priceItemSchema, { ...taxed, taxRate: '8.87501' }).taxRate).toBeDefined()
    expect(messages(priceItemSchema, { ...taxed, taxParts: 'State' }).taxParts).toEqual([
      'Write each tax as its name and its rate, with a plus between: State 4 + City 4.5.',
    ])
    expect(messages(priceItemSchema, { ...taxed, taxParts: 'A 60 + B 50' }).taxParts).toBeDefined()
    expect(messages(priceItemSchema, { ...item, taxCategory: 'S' }).taxRate).toEqual([
      'A taxed line needs a rate above 0 %.',
    ])
  })
})

test('a draft needs a line, and a service that ends after it begins', () => {
  expect(messages(editDraftSchema, { ...ids, lines: [] }).lines).toEqual(['An invoice needs at least one line.'])
  const line = {
    id,
    description: 'Visit',
    quantity: '1',
    unit: '',
    unitPrice: '55',
    taxCategory: 'S',
    taxRate: '20',
    serviceStart: '2026-11-18',
    serviceEnd: '2026-11-17',
  }
  expect(messages(editDraftSchema, { ...ids, lines: [line] })).toEqual({
    'lines.0.serviceEnd': ['The service ends before it begins.'],
  })
  expect(messages(editDraftSchema, { ...ids, lines: [{ ...line, serviceEnd: '2026-11-18', quantity: '0' }] })).toEqual({
    'lines.0.quantity': ['A quantity of 0 bills nothing. Remove the line instead.'],
  })
})
