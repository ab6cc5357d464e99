import { describe, expect, test } from 'vitest'
import { parseNumber } from '@/lib/office/frame/numbers'
import { parseCadence } from '@/lib/office/old-records/cadence'
import { equipmentClassOf, failureModeOf, SLUGS_WITH_MORE_WORDS } from '@/lib/office/old-records/class-words'
import { countDateOrders, orderFrom, parseDate } from '@/lib/office/old-records/dates'
import { decode } from '@/lib/office/old-records/decode'
import { parsePaymentTerms } from '@/lib/office/old-records/payment-terms'
import { parseReadings } from '@/lib/office/old-records/readings'
import { placeName } from '@/lib/office/old-records/register-rows'
import { findClass, findMode } from '@/lib/trade/catalogue'

describe('dates', () => {
  test.each([
    ['2024-02-29', '2024-02-29'], // 2024 is a leap year (Gregorian rule, ISO 8601)
    ['29/02/2024', '2024-02-29'],
    ['1.3.2024', '2024-03-01'],
    ['01-03-24', '2024-03-01'],
    ['12 Jan 2023', '2023-01-12'],
    ['Jan 12, 2023', '2023-01-12'],
    ['Thursday, 12th January 2023', '2023-01-12'],
    ['12. März 2023', '2023-03-12'],
    ['3 août 2023', '2023-08-03'],
    ['2024-02-29T08:30:00Z', '2024-02-29'],
    ['29/02/2024 08:30', '2024-02-29'],
    ['44927', '2023-01-01'], // a spreadsheet's day number in the 1900 system; ECMA-376 part 1, 18.17.4.1: 25569 is 1970-01-01 (from memory)
  ])('%s is %s', (text, date) => expect(parseDate(text, 'day-first')).toMatchObject({ ok: true, date }))
  test.each(['29/02/2023', '31/04/2024', '2024-13-01', '0/1/2024', 'soon', '', '12 Foo 2024', '1/2/1899'])(
    '“%s” is none',
    (text) => expect(parseDate(text, 'day-first').ok).toBe(false),
  )
  test('a few slips against many do not make the order unsure, even shares do', () => {
    const many = Array.from({ length: 40 }, () => '25/01/2024')
    const shown = (cells: string[]) => orderFrom(countDateOrders(cells))
    expect(shown([...many, '01/25/2024', '01/02/2024'])).toEqual({ value: 'day-first', sure: true, shown: true })
    expect(shown(['25/01/2024', '01/25/2024']).sure).toBe(false)
    expect(shown(['01/02/2024'])).toMatchObject({ sure: false, shown: false })
    expect(shown(['01/01/2024']).sure).toBe(true)
  })
})

describe('numbers', () => {
  test.each([
    ['1,500', '.', 1500],
    ['1,500', ',', 1.5],
    ['1.500', '.', 1.5],
    ['1,5', '.', 1.5],
    ['0,300', '.', 0.3],
    ['1,234.5', ',', 1234.5],
    ['1.234,5', '.', 1234.5],
    ['1 234', '.', 1234],
    ['−4,5', '.', -4.5],
    ['.5', '.', 0.5],
    ['1,2,3', '.', null],
    ['1..5', '.', null],
    ['an hour', '.', null],
    ['', '.', null],
  ] as const)('%s with “%s” is %s', (text, mark, value) => expect(parseNumber(text, mark)).toBe(value))
})

describe('words', () => {
  test.each([
    ['net 30', 30],
    ['30', 30],
    ['on receipt', 0],
    ['14 days', 14],
    ['2 weeks', 14],
    ['', null],
    ['30 Tage', 30],
  ])('terms %s', (text, days) => expect(parsePaymentTerms(text)).toEqual({ ok: true, paymentDays: days }))
  test.each(['when convenient', '999 days'])('terms %s are not understood', (text) =>
    expect(parsePaymentTerms(text).ok).toBe(false),
  )
  test.each([
    ['2', 2],
    ['every 2 weeks', 2],
    ['fortnightly', 2],
    ['weekly', 1],
    ['14 days', 2],
    ['', null],
  ])('every %s', (text, weeks) => expect(parseCadence(text)).toEqual({ ok: true, everyWeeks: weeks }))
  test.each(['0', '53', '1.5', '10 days', 'now and then'])('every %s is no number of weeks', (text) =>
    expect(parseCadence(text).ok).toBe(false),
  )
})

describe('what a place is called by its address', () => {
  test.each([
    ['Harbour Rd, Port Ellery', 'Harbour Rd'],
    ['2, The Parade\nPort Ellery', '2, The Parade'],
    ['12b, Quay Street', '12b, Quay Street'],
    ['14 Mill Ln', '14 Mill Ln'],
    ['', ''],
    [null, ''],
  ])('%s: %s', (address, name) => expect(placeName(address)).toBe(name))
})

describe('readings', () => {
  test('are read with the unit as written and a common one', () => {
    // One German degree is 10 mg/L CaO, 0.3566 meq/L (DIN 38409-6; recalled, from memory).
    const { readings, leftOver, impossible } = parseReadings(
      'Alk 8.3 dKH; Ca 420; Sal 34.6; NO3 5; PO4 0.03 ppm; pH: 7.2; Temp 77 F; zork 3',
      '.',
    )
    expect(readings.map(({ quantity, writtenValue, unit }) => [quantity, writtenValue, unit])).toEqual([
      ['alkalinity', 8.3, 'meq/L'],
      ['calcium', 420, 'mg/L'],
      ['salinity', 34.6, ''],
      ['nitrate', 5, 'mg/L'],
      ['phosphate', 0.03, 'mg/L'],
      ['pH', 7.2, ''],
      ['temperature', 77, '°C'],
    ])
    expect(readings[0]?.value).toBeCloseTo(8.3 * 0.3566, 2)
    expect(readings[6]?.value).toBe(25)
    expect({ leftOver, impossible }).toEqual({ leftOver: ['zork 3'], impossible: [] })
  })
  test('a specific gravity is known by its name, and by a figure that can be no salinity', () => {
    for (const text of ['SG 1.025', 'Specific gravity: 1.025', 'Sal 1.025', 'Salinity 1.025 SG', 'sal 1.025 ppt'])
      expect(parseReadings(text, '.').readings, text).toMatchObject([
        { quantity: 'salinity', writtenUnit: 'SG', value: expect.closeTo(33.2, 1) },
      ])
  })
  test('decimal commas and commas between readings', () => {
    expect(parseReadings('Alk 8,3 dKH, pH 8,1', ',').readings.map((each) => each.writtenValue)).toEqual([8.3, 8.1])
  })
})

describe('bytes', () => {
  test.each([
    ['utf-8', Buffer.from('naïve;x')],
    ['utf-8-bom', Buffer.from('\ufeffnaïve;x')],
    ['utf-16le', Buffer.from('\ufeffnaïve;x', 'utf16le')],
    ['utf-16be', Buffer.from('\ufeffnaïve;x', 'utf16le').swap16()],
    ['utf-16le', Buffer.from('naïve;x', 'utf16le')],
    ['windows-1252', Buffer.from('naïve;x', 'latin1')],
  ])('%s', (encoding, bytes) => expect(decode(bytes)).toEqual({ ok: true, text: 'naïve;x', encoding }))
  test('the Euro sign of Windows-1252 is byte 128 (WHATWG Encoding Standard, index windows-1252)', () =>
    expect(decode(Uint8Array.from([0x80, 0x20, 0x35]))).toMatchObject({ text: '€ 5' }))
})

describe('classes and modes', () => {
  test('every slug that has more words is in the catalogue', () => {
    expect(SLUGS_WITH_MORE_WORDS.classes.filter((slug) => findClass(slug) === null)).toEqual([])
    expect(SLUGS_WITH_MORE_WORDS.modes.filter((slug) => findMode(slug) === null)).toEqual([])
  })
  test.each([
    ['UV Sterilizer', { slug: 'uv-steriliser', known: true, ordered: false }],
    ['Heaters', { slug: 'heater', known: true, ordered: false }],
    ['return pump B', { slug: 'return-pump', known: true, ordered: true }],
    ['Flux capacitor 3', { slug: 'own:flux capacitor', known: false, ordered: true }],
  ])('%s', (text, expected) => expect(equipmentClassOf(text)).toEqual({ words: text, ...expected }))
  test('the same words name another mode on another device', () => {
    expect(failureModeOf('return-pump', 'rotor scale').slug).toBe('return-pump/impeller-scale')
    expect(failureModeOf('circulation-pump', 'rotor scale').slug).toBe('circulation-pump/impeller-coralline')
    expect(failureModeOf('heater', 'rotor scale').slug).toBe('own:rotor scale')
  })
})
