import { parse } from 'csv-parse/sync'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { ACCOUNTANT_COLUMNS, type AccountantLine, accountantCsv, harmless } from '@/lib/office/money/accountant-csv'

const line: AccountantLine = {
  documentNumber: '2026-0418',
  documentType: 'invoice',
  creditsNumber: '',
  issueDate: '2026-11-25',
  dueDate: '2026-12-09',
  clientName: 'Port Ellery School',
  clientTaxNumber: '',
  purchaseOrder: '77120',
  lineNumber: 3,
  description: 'Dosing tube',
  placeName: 'Hall',
  serviceStart: '2026-11-18',
  serviceEnd: '2026-11-18',
  quantity: '2.000',
  unit: 'piece',
  unitPrice: '6.4000',
  netMinor: 1280,
  taxCategory: 'S',
  ratePercent: '20.00',
  exemptionReason: '',
  currency: 'GBP',
  documentNetMinor: 24780,
  documentTaxMinor: 4956,
  documentGrossMinor: 29736,
  documentPaidMinor: 10000,
  paymentState: 'part_paid',
  lastPaidDate: '2026-12-01',
}

// Read back by csv-parse, a program of its own, strict about RFC 4180.
function readBack(csv: string): Record<string, string>[] {
  return parse(csv, { bom: true, columns: true, record_delimiter: '\r\n' })
}

test('a row carries service period, tax category, purchase order and plain figures', () => {
  expect(readBack(accountantCsv([line]))).toEqual([
    expect.objectContaining({
      'document number': '2026-0418',
      'purchase order': '77120',
      'service start': '2026-11-18',
      'service end': '2026-11-18',
      quantity: '2',
      'unit price': '6.4',
      net: '12.80',
      'tax category': 'S',
      'tax rate': '20',
      currency: 'GBP',
      'document total': '297.36',
      'document paid': '100.00',
      'payment state': 'part paid',
    }),
  ])
})

test('begins with the byte order mark, ends lines with CRLF, and says its columns even when empty', () => {
  const csv = accountantCsv([line])
  expect(Buffer.from(csv, 'utf8').subarray(0, 3)).toEqual(Buffer.from([0xef, 0xbb, 0xbf]))
  expect(csv.match(/\r\n/g)).toHaveLength(2)
  expect(accountantCsv([])).toBe(`\ufeff${ACCOUNTANT_COLUMNS.join(',')}\r\n`)
})

test('a credit note’s amounts are negative figures, not text, so that the column adds up', () => {
  const credit: AccountantLine = {
    ...line,
    documentType: 'credit_note',
    creditsNumber: '2026-0418',
    documentPaidMinor: 0,
  }
  const [row] = readBack(accountantCsv([credit]))
  expect(row).toMatchObject({
    net: '-12.80',
    'document total': '-297.36',
    'document paid': '0.00',
    'credits number': '2026-0418',
  })
  const quantities = readBack(accountantCsv([{ ...line, quantity: '-2' }]))
  expect(quantities[0]?.quantity).toBe('-2')
})

describe('formulas (OWASP, CSV Injection: = + - @ tab, carriage return, and their full-width forms)', () => {
  test.each([
    '=1+1',
    '+44 1632',
    '-2 tubes',
    '@SUM(A1)',
    '\t=1',
    '\r=1',
    '\n=1',
    ' =1',
    '"=1',
    '＝1+1',
    '＋1',
    '－1',
    '＠x',
    '−1',
  ])('“%s” is defused', (value) => {
    expect(harmless(value)).toBe(`'${value}`)
  })

  test.each(['Dosing tube', '2026-0418', 'a=b', '', 'O’Hare', '12-14 Quay Road'])('“%s” stays as it is', (value) => {
    expect(harmless(value)).toBe(value)
  })

  test('any text comes back as it was or with an apostrophe in front, and no cell of text begins like a formula', () => {
    const texts = fc.string({ unit: 'binary', maxLength: 20 }).map((value) => value.replace(/[\ud800-\udfff]/g, ''))
    const start = fc.constantFrom('', '=', '+', '-', '@', '\t', '\r', '\n', '"', ',', ';', "'")
    fc.assert(
      fc.property(
        fc.tuple(start, texts).map(([first, rest]) => first + rest),
        texts,
        (description, clientName) => {
          const [row] = readBack(accountantCsv([{ ...line, description, clientName, purchaseOrder: description }]))
          for (const [column, value] of [
            ['description', description],
            ['client', clientName],
            ['purchase order', description],
          ] as const) {
            expect([value, `'${value}`]).toContain(row?.[column])
            expect(row?.[column]).not.toMatch(/^[=+\-@\t\r\n＝＋－＠]/)
          }
        },
      ),
      { numRuns: 500 },
    )
  })
})

test('a figure that is no figure is refused rather than written', () => {
  expect(() => accountantCsv([{ ...line, quantity: '=1+1' }])).toThrow(RangeError)
  expect(() => accountantCsv([{ ...line, netMinor: 0.5 }])).toThrow(RangeError)
})
