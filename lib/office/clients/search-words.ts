/** Every word must stand somewhere; at most so many, so that a pasted letter does not become a huge question. Pure. */
const WORDS_MAX = 6

/** The words of a search box, in the order typed, without repeats. */
export function searchWords(text: string): string[] {
  const words = text.split(/[\s,;]+/).filter((word) => word !== '')
  return [...new Set(words)].slice(0, WORDS_MAX)
}

/** The same for an SQL pattern: its signs in the words stand for themselves. */
export function patternWords(text: string): string[] {
  return searchWords(text).map((word) => word.replace(/[\\%_]/g, '\\$&'))
}
