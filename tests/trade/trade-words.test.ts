// Which words differ is common practice, without a source; what is tested is that one table serves all.
import { describe, expect, test } from 'vitest'
import {
  careTasks,
  equipmentClasses,
  failureModes,
  inTradeWords,
  TRADE_WORDS,
  tradeDialectOf,
  tradeWord,
} from '@/lib/trade'

describe('trade words', () => {
  test('a country chooses', () => {
    expect(['GB', 'IE', 'AU', 'DE', 'US', 'us', 'CA', 'PR', ''].map(tradeDialectOf)).toEqual([
      ...['british', 'british', 'british', 'british', 'american', 'american', 'american', 'american', 'british'],
    ])
  })
  test('texts change word by word, capitals and plurals kept; parts of other words and British readers are left alone', () => {
    expect(inTradeWords('Auto top-up last; off at the fuse board or isolator.', 'american')).toBe(
      'Auto top-off last; off at the panel or breaker.',
    )
    expect(inTradeWords('External filters, isolators; top-upper, colours, discoloured', 'american')).toBe(
      'Canister filters, breakers; top-upper, colors, discoloured',
    )
    expect(inTradeWords('External filter', 'british')).toBe('External filter')
    expect(tradeWord('isolator', 'american')).toBe('breaker')
  })
  test('no British term is left in any name or sign of the catalogue for an American business', () => {
    const texts = [
      ...equipmentClasses.flatMap(({ name, plainName }) => [name, plainName]),
      ...failureModes.flatMap(({ name, sign }) => [name, sign]),
      ...careTasks.map(({ name }) => name),
    ].map((text) => inTradeWords(text, 'american'))
    for (const { british } of Object.values(TRADE_WORDS))
      for (const text of texts) expect(text.toLowerCase()).not.toContain(british.toLowerCase())
    expect(texts).toContain('Canister filter')
  })
})
