/**
 * Trade words that differ between British and American use, once. Texts of the trade are written in British words; a business in America reads
 * them through `inTradeWords`. What people wrote never passes here. Common practice, no source. Pure, and small enough for the phone.
 */

export type TradeDialect = 'british' | 'american'

export const TRADE_WORDS = {
  externalFilter: { british: 'external filter', american: 'canister filter' },
  autoTopUp: { british: 'auto top-up', american: 'auto top-off' },
  topUp: { british: 'top-up', american: 'top-off' },
  gasCylinder: { british: 'CO2 cylinder', american: 'CO2 tank' },
  fuseBoard: { british: 'fuse board', american: 'panel' },
  isolator: { british: 'isolator', american: 'breaker' },
  residualCurrentDevice: { british: 'residual-current device', american: 'ground-fault interrupter' },
  electrician: { british: 'qualified, registered electrician', american: 'licensed electrician' },
  wiringRules: { british: 'local wiring rules', american: 'local code' },
  steriliser: { british: 'steriliser', american: 'sterilizer' },
  colour: { british: 'colour', american: 'color' },
} as const satisfies Record<string, Record<TradeDialect, string>>
export type TradeTerm = keyof typeof TRADE_WORDS

/** Where American trade words are spoken, ISO 3166-1: the United States with their territories, and Canada. From memory. */
const AMERICAN = new Set(['US', 'PR', 'GU', 'VI', 'AS', 'MP', 'UM', 'CA'])

/** The trade words of a business, by its country (two letters). */
export function tradeDialectOf(country: string): TradeDialect {
  return AMERICAN.has(country.toUpperCase()) ? 'american' : 'british'
}

/** One word of the table. */
export function tradeWord(term: TradeTerm, dialect: TradeDialect): string {
  return TRADE_WORDS[term][dialect]
}

const AMERICAN_OF = new Map<string, string>(
  Object.values(TRADE_WORDS).map(({ british, american }) => [british.toLowerCase(), american]),
)
/** Longer terms first: "auto top-up" before "top-up". */
const BRITISH = new RegExp(
  `(?<![\\w-])(${[...AMERICAN_OF.keys()].sort((one, other) => other.length - one.length).join('|')})(s?)(?![\\w-])`,
  'gi',
)

/**
 * A text of the trade in the words of a dialect; British ones come back as they are.
 * @example inTradeWords('Auto top-up last.', 'american') // 'Auto top-off last.'
 */
export function inTradeWords(text: string, dialect: TradeDialect): string {
  if (dialect === 'british') return text
  return text.replace(BRITISH, (found: string, term: string, plural: string) => {
    const word = `${AMERICAN_OF.get(term.toLowerCase()) ?? term}${plural}`
    return /^[A-Z]/.test(found) ? `${word.charAt(0).toUpperCase()}${word.slice(1)}` : word
  })
}
