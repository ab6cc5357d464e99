import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readTaxParts, sumOfParts, taxPartsText } from '@/lib/office/money/tax-parts'
import { type AmountLine, invoiceTotals } from '@/lib/office/money/totals'

describe('named taxes as they are typed', () => {
  test('names and rates, read and written back', () => {
    const parts = readTaxParts('NY State 4 + New York City 4,5 %; MCTD 0.375')
    expect(parts).toEqual([
      { name: 'NY State', ratePercent: '4' },
      { name: 'New York City', ratePercent: '4.5' },
      { name: 'MCTD', ratePercent: '0.375' },
    ])
    expect(taxPartsText(parts ?? [])).toBe('NY State 4 + New York City 4.5 + MCTD 0.375')
    // New York City's combined rate: New York State Department of Taxation and Finance, Publication 718 (from memory).
    expect(sumOfParts(parts ?? [])).toBe('8.875')
    expect(readTaxParts('  ')).toEqual([])
  })

  test.each([
    'State',
    '4',
    'State 4 + State 5',
    'State 4.12345',
    'State 0',
    'State 4 + ',
    'State four',
    'A 1+B 1+C 1+D 1+E 1+F 1+G 1',
  ])('“%s” is not read', (typed) => expect(readTaxParts(typed)).toBeNull())
})

const line = (unitPrice: string, typed: string): AmountLine => {
  const parts = readTaxParts(typed) ?? []
  return { quantity: '1', unitPrice, tax: { category: 'S', ratePercent: sumOfParts(parts), parts } }
}

describe('named taxes in the totals', () => {
  // Streamlined Sales and Use Tax Agreement, section 324, as adopted in R.I. General Laws § 44-18.1-25: on the invoice, up where the third decimal is above four.
  test('each is reckoned once per document and rounded half up, not line by line and not on the sum of the rates', () => {
    // State 4 %: of 1.13 + 1.13 + 1.13 = 3.39 it is 0.1356, so 0.14; line by line 0.05 × 3 = 0.15. City 1 % lies on one line only: 0.0113, so 0.01.
    const lines = [line('1.13', 'State 4'), line('1.13', 'State 4 + City 1'), line('1.13', 'State 4')]
    const totals = invoiceTotals({ currency: 'USD', lines })
    expect(totals.taxGroups).toEqual([
      { category: 'S', name: 'State', ratePercent: '4', taxableMinor: 339, taxMinor: 14, exemptionReasons: [] },
      { category: 'S', name: 'City', ratePercent: '1', taxableMinor: 113, taxMinor: 1, exemptionReasons: [] },
    ])
    expect(totals).toMatchObject({ netMinor: 339, taxMinor: 15, grossMinor: 354 })
  })

  // Exact whole-number arithmetic of its own: cents × ten-thousandths of a per cent, half up.
  test('random lines: every named tax is its rate of the sum of its lines', () => {
    const names = ['State', 'County', 'City'] as const
    const randomLine = fc.record({
      cents: fc.integer({ min: 1, max: 1_000_000 }),
      on: fc.subarray([...names], { minLength: 1 }),
    })
    const rates = { State: '4', County: '4.5', City: '0.375' } as const
    fc.assert(
      fc.property(fc.array(randomLine, { minLength: 1, maxLength: 20 }), (given) => {
        const lines = given.map(({ cents, on }) =>
          line((cents / 100).toFixed(2), on.map((name) => `${name} ${rates[name]}`).join(' + ')),
        )
        const { taxGroups, taxMinor } = invoiceTotals({ currency: 'USD', lines })
        let sum = 0n
        for (const name of names) {
          const base = given
            .filter(({ on }) => on.includes(name))
            .reduce((total, { cents }) => total + BigInt(cents), 0n)
          const tax = (base * BigInt(Math.round(Number(rates[name]) * 1000)) * 2n + 100_000n) / 200_000n
          sum += tax
          if (base > 0n) expect(taxGroups.find((group) => group.name === name)?.taxMinor).toBe(Number(tax))
        }
        expect(taxMinor).toBe(Number(sum))
      }),
    )
  })

  test('a rate of four decimals is one group like any other', () => {
    const lines: AmountLine[] = [{ quantity: '1', unitPrice: '247.80', tax: { category: 'S', ratePercent: '8.8750' } }]
    // 247.80 × 8.875 % = 21.99225.
    expect(invoiceTotals({ currency: 'USD', lines }).taxGroups).toMatchObject([
      { ratePercent: '8.875', taxMinor: 2199 },
    ])
  })
})
