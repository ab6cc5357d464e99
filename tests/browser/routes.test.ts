import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { signInPath } from '@/lib/office/people/back-path'
import { appRoutes, matches } from './app-routes'
import {
  accessibilityFaults,
  DESK_DARK,
  DESK_LIGHT,
  PHONE_DARK,
  PHONE_LIGHT,
  type Sight,
  shortenTables,
  show,
  sidewaysPixels,
} from './check-page'
import { openBrowser } from './open-browser'
import { openSessions, RETRIES, VISITORS } from './people'
import { ROUTE_TABLE, type RouteEntry, type Sessions } from './route-table'
import { watchPage } from './watch-page'

let browser: Browser
let sessions: Sessions
const addresses = new Map<string, Promise<string>>()

beforeAll(async () => {
  browser = await openBrowser()
  sessions = await openSessions(browser)
})
afterAll(() => browser?.close())

/** A real address of the pattern; looked for once. */
function addressOf(pattern: string, entry: RouteEntry): Promise<string> {
  const known = addresses.get(pattern) ?? entry.find?.(sessions) ?? Promise.resolve(pattern)
  addresses.set(pattern, known)
  return known
}

const PAGES = appRoutes('page.tsx')

test('every page is in the table of routes, and the table names no page that is gone', () => {
  expect(PAGES.length).toBeGreaterThan(0)
  expect(Object.keys(ROUTE_TABLE).sort()).toEqual(PAGES)
})

for (const pattern of PAGES) {
  const entry = ROUTE_TABLE[pattern]
  if (!entry) continue // the test above says so
  if (entry.leadsTo) test(`${pattern} leads on`, () => leadsOn(pattern, entry))
  else {
    test(`${pattern} is seen by its roles and by nobody else`, () => isSeenByItsRoles(pattern, entry))
    test.concurrent(`${pattern} can be read by everybody, on a phone and on a desk`, () => canBeRead(pattern, entry))
  }
}

async function leadsOn(pattern: string, { roles, leadsTo }: RouteEntry): Promise<void> {
  for (const visitor of roles) {
    const response = await sessions[visitor].request.get(pattern, { maxRedirects: 0, maxRetries: RETRIES })
    expect([visitor, response.status(), response.headers().location]).toEqual([visitor, 307, leadsTo])
  }
}

async function isSeenByItsRoles(pattern: string, entry: RouteEntry): Promise<void> {
  const address = await addressOf(pattern, entry)
  expect(matches(pattern, address.split('?')[0] ?? '')).toBe(true)
  const answers = await Promise.all(
    VISITORS.map(async (visitor) => {
      const response = await sessions[visitor].request.get(address, { maxRedirects: 0, maxRetries: RETRIES })
      const { location } = response.headers()
      return [visitor, `${response.status()}${location ? ` to ${location}` : ''}`] as const
    }),
  )
  const expected = VISITORS.map((visitor) => [visitor, answerFor(pattern, entry, visitor, address)])
  expect(Object.fromEntries(answers)).toEqual(Object.fromEntries(expected))
}

async function canBeRead(pattern: string, entry: RouteEntry): Promise<void> {
  const address = await addressOf(pattern, entry)
  const page = await sessions[entry.roles[0] ?? 'signed out'].newPage()
  try {
    const { complaints } = watchPage(page)
    const faults: string[] = []
    await show(page, PHONE_LIGHT)
    await page.goto(address, { waitUntil: 'networkidle' })
    const sideways = await sidewaysPixels(page)
    if (sideways > 0) faults.push(`${PHONE_LIGHT.name}: scrolls sideways by ${sideways} pixels`)
    await shortenTables(page)
    const look = async (sight: Sight, only?: string[]) => {
      await show(page, sight)
      faults.push(...(await accessibilityFaults(page, only)).map((fault) => `${sight.name}: ${fault}`))
    }
    await look(PHONE_LIGHT)
    await look(DESK_DARK)
    // Both sizes and both colours are seen; what the other two pairs can add is a colour against another background.
    for (const sight of entry.main ? [DESK_LIGHT, PHONE_DARK] : []) await look(sight, ['color-contrast'])
    expect([...faults, ...complaints].join('\n')).toBe('')
    expect(await page.locator('h1').count()).toBe(1)
    expect((await page.locator('h1').textContent())?.trim()).not.toBe('')
    expect(await page.title()).toMatch(/^.+ · Tankround$/)
  } finally {
    await page.close()
  }
}

/** Not theirs: 404, as if it were not there; not signed in: to the sign-in and back. Whoever is signed in needs no sign-in page. */
function answerFor(pattern: string, entry: RouteEntry, visitor: (typeof VISITORS)[number], address: string): string {
  if (entry.roles.includes(visitor)) return '200'
  if (visitor === 'signed out') return `307 to ${signInPath(address)}`
  if (pattern === '/sign-in') return '307 to /'
  if (pattern.startsWith('/invitation') || pattern.startsWith('/reset')) return '200'
  return '404'
}
