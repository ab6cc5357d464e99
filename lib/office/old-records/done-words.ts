/** What was done, in the words of old records. Pure. */
import { plainWords } from '../frame/plain-words'

export type Done = 'cleaned' | 'replaced' | 'nothing'

const CLEANED = [
  'cleaned',
  'clean',
  'serviced',
  'rinsed',
  'wiped',
  'cleared',
  'flushed',
  'descaled',
  'soaked',
  'brushed',
  'unblocked',
  'tuned',
  'calibrated',
  'repaired',
  'fixed',
]
const REPLACED = ['replaced', 'replace', 'changed', 'swapped', 'new', 'renewed', 'fitted new', 'exchanged']
const NOTHING = ['', 'nothing', 'none', 'no', 'checked', 'looked', 'inspected']

const WORDS: ReadonlyMap<string, Done> = new Map([
  ...CLEANED.map((word) => [word, 'cleaned'] as const),
  ...REPLACED.map((word) => [word, 'replaced'] as const),
  ...NOTHING.map((word) => [word, 'nothing'] as const),
])

/** Returns null where the word is not known: whether it renewed anything, a person must say. */
export function doneOf(text: string): Done | null {
  return WORDS.get(plainWords(text)) ?? null
}
