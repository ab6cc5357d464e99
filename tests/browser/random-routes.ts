import { readFileSync } from 'node:fs'
import { request as ask } from 'node:http'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, inject, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { pick, type Random, randomFrom } from '../office/registry/random-input'
import { appRoutes, fileOfRoute } from './app-routes'
import { askDemo } from './ask-demo'
import { openBrowser } from './open-browser'
import { openSessions, VISITORS } from './people'
import { fill, PLACES, type Place } from './route-places'
import type { Sessions } from './route-table'

/** What a person, a program or somebody who tries things may put where a date, a number, a word or an id belongs. */
const ODD = [
  ...[
    '',
    '0',
    '-1',
    '1e9',
    '99999999999999999999',
    'NaN',
    'null',
    'undefined',
    'true',
    '[]',
    '{}',
    '../../etc/passwd',
    'new',
  ],
  ...[
    '2026-02-30',
    '2024-02-29',
    '0000-00-00',
    '9999-12-31',
    '2026-W12',
    '2026-05',
    '2026-13',
    '275760-09-14',
    '-000001-01-01',
  ],
  ...[
    '\u0000',
    'a\u0000b',
    '\u{1f41f}',
    '\u202e',
    "';--",
    '%',
    '%25',
    '<b>',
    ' ',
    '\n',
    'x'.repeat(3000),
    '2026-05-04T09:00:00Z',
    'all',
  ],
]
/** Bytes that are no UTF-8, as they stand in an address. */
const NO_TEXT = ['%ED%A0%80', '%FF', '%C0%80']

const METHODS = ['GET', 'GET', 'GET', 'POST', 'PUT', 'DELETE', 'HEAD', 'OPTIONS', 'PATCH'] as const
const TYPES = [
  'application/json',
  'text/plain',
  'multipart/form-data',
  'multipart/form-data; boundary=b',
  '',
  'application/x-www-form-urlencoded',
]
const BODIES = [
  '',
  '{',
  '{}',
  'a=b',
  '--b--\r\n',
  '--b\r\nContent-Disposition: form-data; name="file"; filename="a"\r\n\r\nx\r\n--b--\r\n',
  '\u0000'.repeat(500),
]

type Route = { pattern: string; isPage: boolean; names: string[] }

/** Every page and file of the program, with the words its code reads from an address. */
function allRoutes(): Route[] {
  return (['page.tsx', 'route.ts'] as const).flatMap((file) =>
    appRoutes(file).map((pattern) => {
      const code = readFileSync(fileOfRoute(pattern, file), 'utf8')
      const names = [...code.matchAll(/^\s*(\w+): (?:z\.|text|day|month|\w+Field|\w+Schema)/gm)].map(
        ([, name = '']) => name,
      )
      return { pattern, isPage: file === 'page.tsx', names: [...new Set([...names, 'page', 'search', 'day', 'from'])] }
    }),
  )
}

/** Ids that are there, by table. */
async function readIds(): Promise<Map<string, string[]>> {
  const tables = [...new Set(Object.values(PLACES).flatMap((place) => ('table' in place ? [place.table] : [])))]
  const found = new Map<string, string[]>()
  for (const table of tables) {
    const rows = await askDemo<{ id: string }>(`SELECT id FROM "${table}" ORDER BY id LIMIT 30`)
    found.set(
      table,
      rows.map(({ id }) => id),
    )
  }
  return found
}

function valueFor(place: Place, ids: ReadonlyMap<string, string[]>, random: Random): string {
  const luck = random()
  if (luck < 0.6) {
    const known = 'table' in place ? (ids.get(place.table) ?? []) : [place.word]
    return known.length > 0 ? pick(random, known) : newId()
  }
  if (luck < 0.7) return newId()
  return luck < 0.95 ? encodeURIComponent(pick(random, ODD)) : pick(random, NO_TEXT)
}

function queryOf(names: readonly string[], ids: ReadonlyMap<string, string[]>, random: Random): string {
  const all = [...ids.values()].flat()
  const pairs = Array.from({ length: Math.floor(random() * 5) }, () => {
    const luck = random()
    const value = luck < 0.3 && all.length > 0 ? pick(random, all) : encodeURIComponent(pick(random, ODD))
    return `${pick(random, names)}=${luck > 0.95 ? pick(random, NO_TEXT) : value}`
  })
  return pairs.length > 0 ? `?${pairs.join('&')}` : ''
}

/** The test itself: so many requests of one seed, of which at least so many reach a page. */
export function testRandomRequests(given: { requests: number; seed: number; reach: number; timeoutMs: number }): void {
  let browser: Browser
  let sessions: Sessions
  beforeAll(async () => {
    browser = await openBrowser()
    sessions = await openSessions(browser)
  })
  afterAll(() => browser?.close())

  test(
    `${given.requests} random requests to pages and files are answered without a fault`,
    async () => {
      const { faults, statuses } = await askAtRandom(sessions, given.requests, given.seed)
      expect(faults).toEqual([])
      // They reach the pages: not refused at the door alone.
      expect(statuses.get(200) ?? 0).toBeGreaterThan(given.reach)
    },
    given.timeoutMs,
  )
}

/**
 * Asks so many times for pages and files, as everybody, with ids, words and bodies that may or may not fit. Answers which were faults
 * of the program, and how many answers of each status came.
 */
async function askAtRandom(sessions: Sessions, count: number, seed: number) {
  const random = randomFrom(seed)
  const ids = await readIds()
  const routes = allRoutes()
  const cookies = new Map<string, string>()
  for (const visitor of VISITORS) {
    const kept = await sessions[visitor].cookies()
    cookies.set(visitor, kept.map(({ name, value }) => `${name}=${value}`).join('; '))
  }
  const requests = Array.from({ length: count }, () => {
    const route = pick(random, routes)
    const visitor = random() < 0.5 ? 'owner' : pick(random, VISITORS)
    const method = route.isPage && random() < 0.8 ? 'GET' : pick(random, METHODS)
    const path = fill(route.pattern, (place) => valueFor(place, ids, random)) + queryOf(route.names, ids, random)
    const body = method === 'GET' || method === 'HEAD' ? '' : pick(random, BODIES)
    return { method, path, visitor, body, type: pick(random, TYPES) }
  })
  const faults: string[] = []
  const statuses = new Map<number, number>()
  const lanes = Array.from({ length: 4 }, async (_, lane) => {
    for (let n = lane; n < requests.length; n += 4) {
      const { method, path, visitor, body, type } = requests[n] as (typeof requests)[number]
      const cookie = cookies.get(visitor) ?? ''
      const { address } = inject('site')
      const headers = { cookie, origin: address, ...(type && body ? { 'content-type': type } : {}) }
      const status = await statusOf(new URL(address), { method, path, headers, body })
      statuses.set(status, (statuses.get(status) ?? 0) + 1)
      if (status >= 500 || status === 0)
        faults.push(`${status} ${method} ${path.slice(0, 200)} as ${visitor} (${type})`)
    }
  })
  await Promise.all(lanes)
  return { faults, statuses }
}

type Sent = { method: string; path: string; headers: Record<string, string>; body: string }

/** The status of an answer, read to its end; 0 where none came. */
function statusOf({ hostname, port }: URL, { method, path, headers, body }: Sent): Promise<number> {
  return new Promise((resolve) => {
    // A connection of its own: one that is kept may be closed by the server just as it is used again.
    const sent = ask({ hostname, port, method, path, headers, agent: false }, (answer) => {
      answer.resume()
      answer.once('close', () => resolve(answer.complete ? (answer.statusCode ?? 0) : 0))
    })
    sent.once('error', () => resolve(0))
    sent.end(body)
  })
}
