'use client'

import { type DBSchema, type IDBPDatabase, openDB } from 'idb'

/**
 * What this device keeps by itself: one database in the browser, a store for each kind. Drafts of forms are in it now; what a
 * phone records without signal goes into a store beside them.
 */
export interface DeviceStores extends DBSchema {
  drafts: { key: string; value: StoredDraft }
}

/** For whom a page was made: every form sends it along, and what is typed is kept for nobody else. */
export type Person = { businessId: string; personId: string }

/** What somebody typed into one form and has not sent. */
export type StoredDraft = Person & {
  key: string
  /** Of the command it becomes: sent twice, it is still one. */
  commandId: string
  /** JSON of what was typed. */
  typed: string
  /** Milliseconds since 1970. */
  at: number
}

/** A browser that never answers must not hold a form up. */
const OPEN_MS = 1500

let opening: Promise<IDBPDatabase<DeviceStores> | null> | null = null

/** The device's database, opened once; null where the browser has none, as some do in private windows. */
export function deviceDatabase(): Promise<IDBPDatabase<DeviceStores> | null> {
  opening ??= open()
  return opening
}

async function open(): Promise<IDBPDatabase<DeviceStores> | null> {
  if (typeof indexedDB === 'undefined') return null
  const opened = openDB<DeviceStores>('tankround', 1, {
    upgrade: (database) => void database.createObjectStore('drafts', { keyPath: 'key' }),
    // A newer page in another window wants to change the stores: let it, and open again when asked.
    blocking: (_from, _to, event) => {
      if (event.target instanceof IDBDatabase) event.target.close()
      opening = null
    },
    terminated: () => {
      opening = null
    },
  }).catch(() => null)
  const late = new Promise<null>((resolve) => setTimeout(() => resolve(null), OPEN_MS))
  return Promise.race([opened, late])
}
