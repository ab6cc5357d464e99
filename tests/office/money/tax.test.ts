import { describe, expect, test } from 'vitest'
import { amountTextToMinor, currencyDecimals, minorToDecimalText } from '@/lib/office/money/currency'
import { type TaxParties, type TaxTreatment, taxProblems } from '@/lib/office/money/tax'

const parties: TaxParties = { sellerTaxNumber: 'XX000000000', buyerTaxNumber: null }
const codes = (treatments: TaxTreatment[], who = parties) => taxProblems(treatments, who).map((problem) => problem.code)

// EN 16931-1, rules named beside each case (read in the published rule file of release 1.3.16).
describe('what EN 16931 asks of a tax treatment', () => {
  test.each<[string, TaxTreatment, string[]]>([
    ['S above nought', { category: 'S', ratePercent: '20' }, []],
    ['BR-S-05: S of nought', { category: 'S', ratePercent: '0' }, ['rate-must-be-positive']],
    ['BR-S-10: S with a reason', { category: 'S', ratePercent: '20', exemptionReason: 'x' }, ['reason-not-allowed']],
    ['BR-Z-05: Z of 5', { category: 'Z', ratePercent: '5' }, ['rate-must-be-zero']],
    ['BR-Z-10: Z with a reason', { category: 'Z', ratePercent: '0', exemptionReason: 'x' }, ['reason-not-allowed']],
    ['BR-E-10: E without a reason', { category: 'E', ratePercent: '0' }, ['reason-missing']],
    [
      'BR-G-10: G with blanks for a reason',
      { category: 'G', ratePercent: '0', exemptionReason: '  ' },
      ['reason-missing'],
    ],
    ['BR-O-05: O with a rate', { category: 'O', ratePercent: '20', exemptionReason: 'x' }, ['rate-not-allowed']],
    ['O without a rate', { category: 'O', ratePercent: null, exemptionReason: 'x' }, []],
    [
      'BR-AE-02: no buyer number',
      { category: 'AE', ratePercent: '0', exemptionReason: 'x' },
      ['buyer-tax-number-missing'],
    ],
    [
      'BR-IC-02: no buyer number',
      { category: 'K', ratePercent: '0', exemptionReason: 'x' },
      ['buyer-tax-number-missing'],
    ],
    ['no rate at all', { category: 'S', ratePercent: null }, ['rate-missing']],
  ])('%s', (_rule, treatment, expected) => {
    expect(codes([treatment])).toEqual(expected)
  })

  test('BR-O-11 to 14: outside the scope stands alone; BR-S-02: the seller’s number', () => {
    const outside: TaxTreatment = { category: 'O', ratePercent: null, exemptionReason: 'x' }
    expect(codes([outside, { category: 'S', ratePercent: '20' }])).toEqual(['outside-scope-not-alone'])
    expect(codes([{ category: 'S', ratePercent: '20' }], { ...parties, sellerTaxNumber: '' })).toEqual([
      'seller-tax-number-missing',
    ])
    expect(codes([outside], { sellerTaxNumber: null, buyerTaxNumber: null })).toEqual([])
  })
})

describe('currencies and amounts as text', () => {
  test.each([
    ['GBP', 2],
    ['JPY', 0],
    ['KWD', 3],
  ] as const)('%s has %d decimals (ISO 4217)', (code, decimals) => {
    expect(currencyDecimals(code)).toBe(decimals)
  })
  test.each(['gbp', 'POUND', '', 'CLF'])('refuses "%s"', (code) => {
    expect(() => currencyDecimals(code)).toThrow(RangeError)
  })
  test.each([
    [-29736, 'GBP', '-297.36'],
    [5, 'GBP', '0.05'],
    [-5, 'KWD', '-0.005'],
    [0, 'GBP', '0.00'],
    [1500, 'JPY', '1500'],
  ] as const)('%d %s is %s', (minor, currency, shown) => {
    expect(minorToDecimalText(minor, currency)).toBe(shown)
    expect(amountTextToMinor(shown, currency)).toBe(minor)
  })
  test.each([
    ['297,36', 29736],
    ['1 297.36', 129736],
    [' 297.3 ', 29730],
    ['297', 29700],
    ['£85', 8500],
    ['-£85.50', -8550],
    ['\u221285.50', -8550], // U+2212, the minus that screens print
    ['\u2212£85.50', -8550],
    ['85 GBP', 8500],
    ['£1 297.36', 129736],
    ['€85', null],
    ['85 USD', null],
    ['£', null],
    ['£1,297', 129700],
    ['1,297', 129700],
    ['1,297,000', 129700000],
    ['£1,297.36', 129736],
    ['1.297,36', 129736],
    ['0,297', null],
    ['1,29,700', null],
    ['1.297', null],
    ['297.365', null],
    ['12 34', null],
    ['two', null],
    ['', null],
  ] as const)('"%s" typed in pounds is %s', (typed, minor) => {
    expect(amountTextToMinor(typed, 'GBP')).toBe(minor)
  })
  test('three figures after a comma are asked about where the currency has three decimals', () => {
    expect(amountTextToMinor('1,297', 'KWD')).toBeNull()
    expect(amountTextToMinor('1.297', 'KWD')).toBe(1297)
  })
})
