/** How something was found, in the words of old records. Pure. */
import type { AsFound } from '@/lib/trade/lives/types'
import { plainWords } from '../frame/plain-words'

const OK = [
  'ok',
  'okay',
  'fine',
  'good',
  'all good',
  'all ok',
  'clean',
  'clear',
  'working',
  'no fault',
  'no problem',
  'pass',
]
const NEEDS_IT = [
  'needs it',
  'need',
  'needed',
  'due',
  'dirty',
  'worn',
  'clogged',
  'fouled',
  'blocked',
  'scaled',
  'poor',
  'bad',
]
const FAILED = ['failed', 'fail', 'broken', 'dead', 'stopped', 'not working', 'stuck', 'leaking', 'leaks']
const NOT_LOOKED = ['', 'not looked', 'not checked', 'not seen', 'skipped', 'n a', 'na']

const WORDS: ReadonlyMap<string, AsFound> = new Map([
  ...OK.map((word) => [word, 'ok'] as const),
  ...NEEDS_IT.map((word) => [word, 'needs_it'] as const),
  ...FAILED.map((word) => [word, 'failed'] as const),
  ...NOT_LOOKED.map((word) => [word, 'not_looked'] as const),
])

/**
 * Reads what was found. Where the words repeat the name of what was looked at ("impeller film"), that is the finding: it needs it.
 * Returns null for anything else: a person must say what it means.
 */
export function asFoundOf(text: string, lookedAt: string): AsFound | null {
  const words = plainWords(text)
  if (words !== '' && words === plainWords(lookedAt)) return 'needs_it'
  return WORDS.get(words) ?? null
}
