export type Verdict = 'lasts' | 'may-not-last' | 'will-not-last' | 'no-visit' | 'unused' | 'unknown'

/** The answer in a few words; its colour repeats what they say. */
export const VERDICT_WORDS: Readonly<Record<Verdict, { words: string; tone: 'ok' | 'call' | 'soft' }>> = {
  lasts: { words: 'lasts', tone: 'ok' },
  'may-not-last': { words: 'may not last', tone: 'call' },
  'will-not-last': { words: 'will not last', tone: 'call' },
  'no-visit': { words: 'no visit planned', tone: 'soft' },
  unused: { words: 'not used', tone: 'soft' },
  unknown: { words: 'not known yet', tone: 'soft' },
}
