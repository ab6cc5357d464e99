import type { Issued } from './issue-ready'

/** What became of drafts that were issued in one act; what another act issued before it is one sentence, however many they were. Pure. */
export function issuedWords(issued: readonly Issued[]): string {
  const numbers = issued.flatMap(({ number }) => number ?? [])
  const meanwhile = issued.filter(({ isMeanwhile }) => isMeanwhile).length
  const refused = issued.flatMap(({ number, words, isMeanwhile }) => (number === null && !isMeanwhile ? [words] : []))
  return [
    numbers.length === 0 ? 'No invoice was issued.' : `Issued: ${numbers.join(', ')}.`,
    ...(meanwhile === 0 ? [] : [`${meanwhile} ${meanwhile === 1 ? 'was' : 'were'} issued meanwhile.`]),
    ...new Set(refused),
  ].join(' ')
}
