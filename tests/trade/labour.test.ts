import { describe, expect, test } from 'vitest'
import { defaultCosts } from '@/lib/trade'
import { labourMinorPerMinute } from '@/lib/trade/labour'

// Decimals of the currencies as ISO 4217 has them, here as Intl knows them; the rates are from memory.
const decimals = (currency: string) =>
  new Intl.NumberFormat('en', { style: 'currency', currency }).resolvedOptions().maximumFractionDigits ?? 2
const anHour = (currency: string) => (labourMinorPerMinute(currency) * 60) / 10 ** decimals(currency)

describe('an hour of work to start from, in whole units of the money', () => {
  test.each([
    ['GBP', 48],
    ['JPY', 4800],
    ['INR', 600],
    ['KWD', 12],
  ])('%s: %d', (currency, hour) => {
    expect(anHour(currency)).toBe(hour)
  })

  test('starting costs are those minutes, in any money', () => {
    for (const currency of ['GBP', 'JPY', 'INR', 'KWD']) {
      const perMinute = labourMinorPerMinute(currency)
      const costs = defaultCosts({ minutes: 15, announcesItself: false, perMinute })
      expect(costs).toMatchObject({ planned: 15 * perMinute, found: 35 * perMinute, callOut: 105 * perMinute })
    }
  })

  test('a currency that nobody listed has a figure, what is none is an error', () => {
    expect(anHour('XDR')).toBeGreaterThan(0)
    expect(() => labourMinorPerMinute('money')).toThrow(RangeError)
  })
})
