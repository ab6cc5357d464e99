'use client'

import { deviceDatabase, type Person, type StoredDraft } from './database'

/** A draft nobody came back to for so long is of no use any more. Common practice, no source. */
const KEPT_DAYS = 14
/** Of all drafts of a device; the oldest go first. */
const KEPT_MOST = 200
/** Longer than any form of ours: what is longer stays on the page only. */
const LONGEST_DRAFT = 200_000

/** For browsers without a database: lost with the page, but not with the next screen. */
const memory = new Map<string, StoredDraft>()

/** One after the other, so that an older writing never overtakes a newer one. */
let writing: Promise<unknown> = Promise.resolve()
function inTurn<T>(work: () => Promise<T>): Promise<T> {
  const turn = writing.then(work)
  writing = turn.catch(() => undefined)
  return turn
}

/** The key of one person's draft of one form about one thing on one page. */
export function draftKey({ businessId, personId }: Person, page: string, form: string, about: string): string {
  return [businessId, personId, page, form, about].join(' ')
}

/** The draft under this key, unless it is too old. */
export async function readDraft(key: string, now = Date.now()): Promise<StoredDraft | null> {
  const stored = await inTurn(async () => (await deviceDatabase())?.get('drafts', key)).catch(() => undefined)
  const draft = stored ?? memory.get(key)
  return draft && now - draft.at < KEPT_DAYS * 86_400_000 ? draft : null
}

/** Keeps a draft; true when it will outlive the page. */
export async function keepDraft(draft: StoredDraft): Promise<boolean> {
  memory.set(draft.key, draft)
  if (draft.typed.length > LONGEST_DRAFT) return false
  return inTurn(async () => {
    const database = await deviceDatabase()
    await database?.put('drafts', draft)
    return database !== null
  }).catch(() => false)
}

/** Forgets a draft that was sent or thrown away. */
export async function dropDraft(key: string): Promise<void> {
  memory.delete(key)
  await inTurn(async () => (await deviceDatabase())?.delete('drafts', key)).catch(() => undefined)
}

/** Forgets what is too old, and the oldest of too many. */
export async function pruneDrafts(now = Date.now()): Promise<void> {
  await inTurn(async () => {
    const database = await deviceDatabase()
    const drafts = (await database?.getAll('drafts')) ?? []
    const newestFirst = drafts.sort((a, b) => b.at - a.at)
    const old = newestFirst.filter(({ at }, place) => place >= KEPT_MOST || now - at >= KEPT_DAYS * 86_400_000)
    for (const { key } of old) await database?.delete('drafts', key)
  }).catch(() => undefined)
}

/** How many forms this person has typed into on this device without sending them. */
export async function countDraftsOf(person: Person): Promise<number> {
  return (await draftsOf(person)).filter(({ typed }) => typed !== 'null').length
}

/** Forgets this person's drafts and every copy of a page on this device; what waits to be sent is elsewhere and stays. */
export async function forgetOnDevice(person: Person): Promise<void> {
  for (const { key } of await draftsOf(person)) await dropDraft(key)
  if (typeof caches === 'undefined') return
  for (const name of await caches.keys().catch(() => [])) await caches.delete(name).catch(() => false)
}

async function draftsOf({ businessId, personId }: Person): Promise<StoredDraft[]> {
  const stored = await inTurn(async () => (await deviceDatabase())?.getAll('drafts')).catch(() => undefined)
  const all = new Map([...memory.values(), ...(stored ?? [])].map((draft) => [draft.key, draft]))
  return [...all.values()].filter((draft) => draft.businessId === businessId && draft.personId === personId)
}
