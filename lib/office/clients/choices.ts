import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../frame/actor'
import { searchWords } from './search-words'

/** One entry of a list to choose from. */
export type Choice = { value: string; label: string }

const IN_USE = { archivedAt: null, mergedIntoId: null }

/** Clients in use, by name. Two of one name are told apart by their e-mail. */
export async function clientChoices(tx: Transaction, businessId: string): Promise<Choice[]> {
  const clients = await tx.client.findMany({
    where: { businessId, ...IN_USE },
    select: { id: true, name: true, email: true },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  const times = new Map<string, number>()
  for (const { name } of clients) times.set(name, (times.get(name) ?? 0) + 1)
  return clients.map(({ id, name, email }) => ({
    value: id,
    label: (times.get(name) ?? 0) > 1 && email !== '' ? `${name} (${email})` : name,
  }))
}

/** Sites in use of clients in use, as "client: site, city". */
export async function siteChoices(tx: Transaction, businessId: string): Promise<(Choice & { clientId: string })[]> {
  const sites = await tx.site.findMany({
    where: { businessId, ...IN_USE, client: IN_USE },
    select: { id: true, name: true, city: true, clientId: true, client: { select: { name: true } } },
    orderBy: [{ client: { name: 'asc' } }, { name: 'asc' }, { id: 'asc' }],
  })
  return sites.map((site) => ({
    value: site.id,
    clientId: site.clientId,
    label: `${site.client.name}: ${site.name}${site.city === '' ? '' : `, ${site.city}`}`,
  }))
}

/** What the form of a site needs. */
export function siteFormChoices(actor: Actor): Promise<{ businessId: string; clients: Choice[] }> {
  return inBusiness(actor, async (tx) => ({
    businessId: actor.businessId,
    clients: await clientChoices(tx, actor.businessId),
  }))
}

/** So many are offered at a time; of more some words choose. */
const OFFERED_AT_ONCE = 200

export type Narrowed = { choices: Choice[]; more: number }

/** Of a long list what has all the words, and what is chosen already; `more`: how many others there are. */
export function narrowed(all: readonly Choice[], search: string, chosen: readonly string[] = []): Narrowed {
  const words = searchWords(search).map((word) => word.toLowerCase())
  const fits = all.filter(
    ({ value, label }) => chosen.includes(value) || words.every((word) => label.toLowerCase().includes(word)),
  )
  const first = fits.slice(0, OFFERED_AT_ONCE)
  const choices = [...first, ...fits.slice(OFFERED_AT_ONCE).filter(({ value }) => chosen.includes(value))]
  return { choices, more: all.length - choices.length }
}
