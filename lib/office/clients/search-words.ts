/** Every word must stand somewhere; at most so many, so that a pasted letter does not become a huge question. Pure. */
const WORDS_MAX = 6

/** The words of a search box, in the order typed, without repeats; signs of SQL patterns in them stand for themselves. */
export function searchWords(text: string): string[] {
  const words = text.split(/[\s,;]+/).filter((word) => word !== '')
  return [...new Set(words)].slice(0, WORDS_MAX).map((word) => word.replace(/[\\%_]/g, '\\$&'))
}
