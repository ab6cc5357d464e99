/** What is said to somebody who sends an entry again with other words than those that were kept. Pure. */

const MOST = 3
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-/i

/**
 * Names what was kept where it differs from what is sent now.
 * @example changedWords({ amount: '100' }, { amount: '1000' }) // This entry was already saved as amount: 100. …
 */
export function changedWords(kept: unknown, sent: unknown): string {
  const before = new Map(leaves(kept))
  const now = new Map(leaves(sent))
  const changed = [...before].filter(([path, value]) => now.get(path) !== value && !UUID.test(value) && value !== '')
  const after = 'What you sent now was not saved. Change the saved one, or press again if this is another.'
  if (changed.length === 0) return `This entry was already saved, with other content. ${after}`
  const shown = changed.slice(0, MOST).map(([path, value]) => `${inWords(path)}: ${value}`)
  return `This entry was already saved as ${shown.join(', ')}${changed.length > MOST ? ' …' : ''}. ${after}`
}

/** Every plain value with its path. */
function leaves(value: unknown, path: readonly string[] = []): [string, string][] {
  if (typeof value === 'object' && value !== null)
    return Object.entries(value).flatMap(([key, held]) => leaves(held, [...path, key]))
  return [[path.join(' '), value === null || value === undefined ? '' : String(value)]]
}

/** `lines 2 unitPrice` → `lines 3 unit price`: people count from one. */
function inWords(path: string): string {
  return path
    .split(' ')
    .map((part) =>
      /^\d+$/.test(part) ? String(Number(part) + 1) : part.replace(/[A-Z]/g, (c) => ` ${c.toLowerCase()}`),
    )
    .join(' ')
}
