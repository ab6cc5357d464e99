import Decimal from 'decimal.js'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type AmountLine, invoiceTotals, lineNetMinor } from '@/lib/office/money/totals'
import { rational, roundHalfUp, times } from './rational'

const standard = (ratePercent: string) => ({ category: 'S', ratePercent }) as const
const line = (quantity: string, unitPrice: string, ratePercent = '20'): AmountLine => ({
  quantity,
  unitPrice,
  tax: standard(ratePercent),
})

describe('one line', () => {
  test('0.5 of a penny rounds away from zero, in both directions (half up on the absolute value)', () => {
    expect(lineNetMinor(line('1', '1.005'), 'GBP')).toBe(101)
    expect(lineNetMinor(line('-1', '1.005'), 'GBP')).toBe(-101)
    expect(lineNetMinor(line('1', '1.0049'), 'GBP')).toBe(100)
  })

  test('a currency without decimals and one with three', () => {
    expect(lineNetMinor(line('1', '99.5'), 'JPY')).toBe(100)
    expect(lineNetMinor(line('1', '1.0005'), 'KWD')).toBe(1001)
  })

  test('takes decimals as the database hands them over', () => {
    const dbLine = { quantity: new Decimal('0.333'), unitPrice: new Decimal('0.0000001'), tax: standard('20') }
    expect(lineNetMinor(dbLine, 'GBP')).toBe(0)
    expect(Object.is(lineNetMinor({ ...dbLine, quantity: '-0.1' }, 'GBP'), 0)).toBe(true)
  })

  test.each(['', 'two', '1,5', 'NaN', 'Infinity', '1e3'])('refuses "%s" as a quantity', (quantity) => {
    expect(() => lineNetMinor(line(quantity, '1'), 'GBP')).toThrow(RangeError)
  })

  test('refuses an amount past a safe integer', () => {
    expect(() => lineNetMinor(line('999999999.999', '9999999999.9999'), 'GBP')).toThrow(/too large/)
  })
})

describe('a whole invoice', () => {
  test('tax is reckoned on the sum, not added up from rounded lines', () => {
    // Three lines of 0.33 at 20 %: rounded line by line 0.07 × 3 = 0.21; on the sum 0.99 it is 0.198, so 0.20.
    const totals = invoiceTotals({ currency: 'GBP', lines: [line('1', '0.33'), line('1', '0.33'), line('1', '0.33')] })
    expect(totals.taxMinor).toBe(20)
    expect(totals.grossMinor).toBe(119)
  })

  test('20, 20.0 and 20.00 per cent are one group', () => {
    const lines = [line('1', '10', '20'), line('1', '10', '20.0'), line('1', '10', '20.00')]
    expect(invoiceTotals({ currency: 'GBP', lines }).taxGroups).toEqual([
      { category: 'S', ratePercent: '20', taxableMinor: 3000, taxMinor: 600, exemptionReasons: [] },
    ])
  })

  test('an exempt category is one group even with two reasons, and both are kept (BR-E-01)', () => {
    const exempt = (exemptionReason: string): AmountLine => ({
      quantity: '1',
      unitPrice: '50',
      tax: { category: 'E', ratePercent: '0', exemptionReason },
    })
    const totals = invoiceTotals({ currency: 'EUR', lines: [exempt('Article 132'), exempt('Small business')] })
    expect(totals.taxGroups).toEqual([
      {
        category: 'E',
        ratePercent: '0',
        taxableMinor: 10000,
        taxMinor: 0,
        exemptionReasons: ['Article 132', 'Small business'],
      },
    ])
  })

  test('refuses a rate on a category that has none', () => {
    const wrong: AmountLine = { quantity: '1', unitPrice: '1', tax: { category: 'Z', ratePercent: '5' } }
    expect(() => invoiceTotals({ currency: 'GBP', lines: [wrong] })).toThrow(/category Z/)
  })
})

// Random lines against exact fractions of BigInt (tests/office/money/rational.ts), which share no code with decimal.js.
const decimalText = (digits: number, decimals: number, signed: boolean) =>
  fc.tuple(fc.bigInt({ min: 0n, max: 10n ** BigInt(digits) - 1n }), fc.boolean()).map(([value, negative]) => {
    const text = value.toString().padStart(decimals + 1, '0')
    const sign = signed && negative && value !== 0n ? '-' : ''
    return `${sign}${text.slice(0, -decimals)}.${text.slice(-decimals)}`
  })

const randomLine = fc.record({
  quantity: decimalText(6, 3, true),
  unitPrice: decimalText(9, 4, false),
  tax: fc.constantFrom(
    { category: 'S', ratePercent: '20' } as const,
    { category: 'S', ratePercent: '5.5' } as const,
    { category: 'S', ratePercent: '7.7' } as const,
    { category: 'S', ratePercent: '20.00' } as const,
    { category: 'Z', ratePercent: '0' } as const,
    { category: 'E', ratePercent: '0.0', exemptionReason: 'exempt' } as const,
  ),
})
const currencies = [
  ['GBP', 2],
  ['JPY', 0],
  ['KWD', 3],
] as const

test('random lines agree with exact fractions, in currencies of 0, 2 and 3 decimals', () => {
  fc.assert(
    fc.property(
      fc.array(randomLine, { minLength: 1, maxLength: 25 }),
      fc.constantFrom(...currencies),
      (lines, [currency, decimals]) => {
        const totals = invoiceTotals({ currency, lines })

        const nets = lines.map((row) => {
          const product = times(rational(row.quantity), rational(row.unitPrice))
          return roundHalfUp(times(product, { n: 10n ** BigInt(decimals), d: 1n }))
        })
        const taxable = new Map<number, bigint>() // by rate in per mille of a per cent; rates 0 bring no tax
        lines.forEach((row, index) => {
          const rate = Math.round(Number(row.tax.ratePercent) * 1000)
          taxable.set(rate, (taxable.get(rate) ?? 0n) + (nets[index] ?? 0n))
        })
        let tax = 0n
        for (const [rate, amount] of taxable) tax += roundHalfUp({ n: amount * BigInt(rate), d: 100000n })
        const net = [...taxable.values()].reduce((sum, amount) => sum + amount, 0n)

        expect(totals.lineNetsMinor.map(BigInt)).toEqual(nets)
        expect(BigInt(totals.netMinor)).toBe(net)
        expect(BigInt(totals.taxMinor)).toBe(tax)
        expect(BigInt(totals.grossMinor)).toBe(net + tax)
      },
    ),
    { numRuns: 500 },
  )
})

test('the opposite quantities credit exactly what was charged, to the last unit', () => {
  fc.assert(
    fc.property(fc.array(randomLine, { minLength: 1, maxLength: 10 }), (lines) => {
      const opposite = lines.map((row) => ({
        ...row,
        quantity: row.quantity.startsWith('-') ? row.quantity.slice(1) : `-${row.quantity}`,
      }))
      const charged = invoiceTotals({ currency: 'GBP', lines })
      const credited = invoiceTotals({ currency: 'GBP', lines: opposite })
      expect(charged.grossMinor + credited.grossMinor).toBe(0)
      expect(charged.taxMinor + credited.taxMinor).toBe(0)
    }),
  )
})
