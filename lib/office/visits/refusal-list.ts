/** A refusal with several reasons: one line of text for each, so that a screen can show them as a list. Pure. */
const ITEM = '– '

/** What is to be done, each thing by itself, and what else can be done. */
export function withList(opening: string, items: readonly string[], closing: string): string {
  return [opening, ...items.map((item) => `${ITEM}${item}`), closing].join('\n')
}

/** The same taken apart again; a text without a list is its opening alone. */
export function readList(words: string): { opening: string; reasons: string[]; closing: string } {
  const lines = words.split('\n')
  const isItem = (line: string) => line.startsWith(ITEM)
  const first = lines.findIndex(isItem)
  if (first === -1) return { opening: words, reasons: [], closing: '' }
  const last = lines.findLastIndex(isItem)
  return {
    opening: lines.slice(0, first).join(' '),
    reasons: lines.slice(first, last + 1).map((line) => (isItem(line) ? line.slice(ITEM.length) : line)),
    closing: lines.slice(last + 1).join(' '),
  }
}
