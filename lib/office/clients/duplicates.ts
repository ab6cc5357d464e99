/** Entries that look like one and the same. Pure. */
import { plainWords } from '../frame/plain-words'

export type MaybeSame = { id: string; name: string; email?: string; address?: string }
export type DuplicateGroup<Entry extends MaybeSame> = { because: 'name' | 'e-mail' | 'address'; entries: Entry[] }

/** Words of a legal form say nothing about who it is. Common practice, no source. */
const LEGAL_FORMS = new Set(['ltd', 'limited', 'llc', 'inc', 'plc', 'gmbh', 'co', 'the', 'and'])

/** A name without case, accents, punctuation, legal form and order of words. */
function nameKey(name: string): string {
  const words = plainWords(name).split(' ')
  const telling = words.filter((word) => !LEGAL_FORMS.has(word))
  return (telling.length > 0 ? telling : words).sort().join(' ')
}

/**
 * Groups of two or more with the same name, e-mail or address; the reason said first wins for a pair. Groups stand in
 * the order of their first entry.
 */
export function findDuplicates<Entry extends MaybeSame>(entries: readonly Entry[]): DuplicateGroup<Entry>[] {
  const reasons = [
    ['name', (entry: Entry) => nameKey(entry.name)],
    ['e-mail', (entry: Entry) => entry.email?.trim().toLowerCase() ?? ''],
    ['address', (entry: Entry) => plainWords(entry.address ?? '')],
  ] as const
  const seen = new Set<string>()
  return reasons.flatMap(([because, keyOf]) => {
    const groups = new Map<string, Entry[]>()
    for (const entry of entries) {
      const key = keyOf(entry)
      if (key !== '') groups.set(key, [...(groups.get(key) ?? []), entry])
    }
    return [...groups.values()].flatMap((group) => {
      const ids = group.map((entry) => entry.id).join(' ')
      if (group.length < 2 || seen.has(ids)) return []
      seen.add(ids)
      return [{ because, entries: group }]
    })
  })
}
