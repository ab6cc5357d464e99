const ASCII = /^[\x20-\x7e]*$/

/** Words for comparing only: no capitals, no accents, no punctuation, single spaces. */
export function plainWords(text: string): string {
  if (text === '') return ''
  const bare = ASCII.test(text) ? text : text.normalize('NFKD').replace(/\p{M}/gu, '')
  return bare
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim()
}
