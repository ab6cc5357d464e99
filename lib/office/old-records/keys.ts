/** Which rows and things are the same: normalised words and their fingerprints. Pure (hashing is arithmetic). */
import { createHash } from 'node:crypto'
import { firstSlug } from '@/lib/trade/catalogue/formerly'

const ASCII = /^[\x20-\x7e]*$/

const UNTIDY = /^\s|\s$|\s\s|[^\S \n]/

/** What a person wrote, without the blanks around it and with single blanks inside; line breaks stay. */
export function tidy(text: string): string {
  if (!UNTIDY.test(text)) return text
  return text
    .replace(/\r\n?/g, '\n')
    .replace(/[^\S\n]+/g, ' ')
    .replace(/ ?\n ?/g, '\n')
    .trim()
}

/** A function that answers the same question from memory; keep it no longer than one plan, since it forgets nothing. */
export function remembered<Answer>(ask: (question: string) => Answer): (question: string) => Answer {
  const answers = new Map<string, Answer>()
  return (question) => {
    const known = answers.get(question)
    if (known !== undefined) return known
    const answer = ask(question)
    answers.set(question, answer)
    return answer
  }
}

/** How a name counts as the same name: blanks and capitals aside. Punctuation stays: `Hall 1/2` is not `Hall 12`. */
export function nameKey(name: string): string {
  const tidied = tidy(name)
  return (ASCII.test(tidied) ? tidied : tidied.normalize('NFKC')).toLowerCase()
}

/** SHA-256 of the parts, told apart even where they are blank; hex, the same on every machine. */
export function fingerprint(kind: string, parts: readonly (string | number | boolean | null)[]): string {
  return createHash('sha256')
    .update(JSON.stringify([kind, ...parts]))
    .digest('hex')
}

/** A client is known by name: the old records have nothing better. */
export const clientKey = (name: string) => fingerprint('client', [nameKey(name)])
/** A site is a client's address; a client without one has a single nameless site. */
export const siteKey = (client: string, address: string | null) =>
  fingerprint('site', [client, address === null ? null : nameKey(address)])
/** A tank's name counts within its client. `client` is a client key. */
export const tankKey = (client: string, name: string) => fingerprint('tank', [client, nameKey(name)])
/** Two devices of one class in a tank are told apart by a label. `tank` is a tank key. */
export const equipmentKey = (tank: string, classSlug: string, label: string | null) =>
  fingerprint('equipment', [tank, firstSlug(classSlug), label === null ? null : nameKey(label)])
export const personKey = (name: string) => fingerprint('person', [nameKey(name)])
/** One visit: a day, a tank, a technician (or none named), a kind. */
export const visitKey = (date: string, tank: string, person: string | null, kind: string) =>
  fingerprint('visit', [date, tank, person, kind])

/** Code-point order: the same everywhere, unlike the order of a language. */
export const byCodePoint = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0)
