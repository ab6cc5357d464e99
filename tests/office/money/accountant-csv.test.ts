import { parse } from 'csv-parse/sync'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { ACCOUNTANT_COLUMNS, type AccountantLine, accountantCsv } from '@/lib/office/money/accountant-csv'
import { harmless } from '@/lib/office/money/csv-file'

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
  taxMinor: 256,
  taxCategory: 'S',
  ratePercent: '20.00',
  exemptionReason: '',
  currency: 'GBP',
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
      tax: '2.56',
      gross: '15.36',
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
  }
  const [row] = readBack(accountantCsv([credit]))
  expect(row).toMatchObject({
    quantity: '-2',
    net: '-12.80',
    tax: '-2.56',
    gross: '-15.36',
    'credits number': '2026-0418',
  })
  const quantities = readBack(accountantCsv([{ ...line, quantity: '-2' }]))
  expect(quantities[0]?.quantity).toBe('-2')
})

describe('formulas (OWASP, CSV Injection: = + - @ tab, carriage return, and their full-width forms)', () => {
  test.each(['=1+1', '+44 1632', '-2 tubes', '@SUM(A1)', ' =1', '"=1', '＝1+1', '＋1', '－1', '＠x', '−1'])(
    '“%s” is defused',
    (value) => {
      expect(harmless(value)).toBe(`'${value}`)
    },
  )

  test.each([
    ['\t=1', "'\t'=1"],
    ['\r=1', "'\r'=1"],
    ['\n=1', "'\n'=1"],
    [';=1+1', ";'=1+1"],
    ['2 tubes; -1 cap', "2 tubes;' -1 cap"],
    ['a|@SUM(A1);=1', "a|'@SUM(A1);'=1"],
    ['note\r\n=1', "note\r'\n'=1"],
  ])('“%s” is defused also where a spreadsheet parts it at another separator', (value, defused) => {
    expect(harmless(value)).toBe(defused)
  })

  test('a cell with a separator of other countries is quoted', () => {
    expect(accountantCsv([{ ...line, description: ';=1+1' }])).toContain(`,";'=1+1",`)
    expect(accountantCsv([{ ...line, description: 'a;b' }])).toContain(',"a;b",')
  })

  test.each(['Dosing tube', 'Tubes; caps', 'a|b', '2026-0418', 'a=b', '', 'O’Hare', '12-14 Quay Road'])(
    '“%s” stays as it is',
    (value) => {
      expect(harmless(value)).toBe(value)
    },
  )

  test('any text comes back as it was but for apostrophes, and nothing in it that a separator parts begins like a formula', () => {
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
            const cell = row?.[column] ?? ''
            expect(cell.replaceAll("'", '')).toBe(value.replaceAll("'", ''))
            for (const part of cell.split(/[;|\t\r\n]/)) expect(part).not.toMatch(/^[=+\-@＝＋－＠]/)
            expect(cell).not.toMatch(/^[\t\r\n]/)
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

test('a decimal comma comes with semicolons, so that a spreadsheet of such a country parts cells at them', () => {
  const csv = accountantCsv([{ ...line, description: 'Tubes, caps; =1' }], { decimals: 'comma' })
  const [row]: Record<string, string>[] = parse(csv, {
    bom: true,
    columns: true,
    delimiter: ';',
    record_delimiter: '\r\n',
  })
  expect(row).toMatchObject({ net: '12,80', tax: '2,56', 'unit price': '6,4', description: "Tubes, caps;' =1" })
})
