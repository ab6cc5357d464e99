import pg from 'pg'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, inject, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { inOrder, insertRow, makeRow, readCatalogue, type World } from '../platform/db/world'
import { appRoutes } from './app-routes'
import { openBrowser } from './open-browser'
import { openSessions, RETRIES, VISITORS } from './people'
import { fill, PLACES, placesOf } from './route-places'
import type { Sessions } from './route-table'

// Every page and every file the program has, found in its folders, is asked for as every visitor with ids of another
// business, with ids that nobody has, and with no ids at all (OWASP ASVS 5.0, chapter V8 "Authorization").

/** Stands in every text of the other business. */
const MARK = 'SecretStranger'

let browser: Browser
let sessions: Sessions
let world: World
beforeAll(async () => {
  browser = await openBrowser()
  sessions = await openSessions(browser)
  world = await makeStranger()
})
afterAll(() => browser?.close())

/** A whole business beside the demo, one row in every table. */
async function makeStranger(): Promise<World> {
  const { appUrl, ownerUrl } = inject('site')
  const owner = new pg.Client({ connectionString: ownerUrl })
  await owner.connect()
  const catalogue = await readCatalogue(owner)
  await owner.end()
  const made = { name: MARK, businessId: newId(), clientId: newId(), personId: newId(), rows: new Map() }
  const app = new pg.Client({ connectionString: appUrl })
  await app.connect()
  await app.query('BEGIN')
  await app.query(
    `SELECT set_config('role', 'tankround_office', true), set_config('app.business_id', $1, true), set_config('app.user_id', $2, true)`,
    [made.businessId, made.personId],
  )
  for (const table of inOrder(catalogue)) {
    const row = makeRow(catalogue, made, table)
    made.rows.set(table, row)
    await insertRow(app, table, row)
  }
  await app.query('COMMIT')
  await app.end()
  return made
}

const PATTERNS = [...appRoutes('page.tsx'), ...appRoutes('route.ts')]
const WITH_PLACES = PATTERNS.filter((pattern) => placesOf(pattern).length > 0)

test('every place in an address is known here', () => {
  expect(PATTERNS.length).toBeGreaterThan(60)
  expect(WITH_PLACES.flatMap(placesOf).filter((name) => !PLACES[name])).toEqual([])
})

/** Asks for an address as everybody; what is no refusal, or shows what is another’s. */
async function wrongAnswers(address: string, refused: (status: number) => boolean): Promise<string[]> {
  const wrong: string[] = []
  for (const visitor of VISITORS) {
    const response = await sessions[visitor].request.get(address, { maxRedirects: 0, maxRetries: RETRIES })
    const body = await response.text()
    if (!refused(response.status())) wrong.push(`${visitor}: ${response.status()} ${address}`)
    if (body.includes(MARK)) wrong.push(`${visitor}: ${address} tells of another business`)
  }
  return wrong
}

/** Rows of another business, as they are asked for behind the question mark, with a period for what asks for one. */
const idsElsewhere = () =>
  [
    'from=2026-01-01&to=2026-12-31',
    ...['tank', 'client', 'site', 'visit', 'part', 'person', 'request', 'equipment'].map(
      (name) => `${name}=${world.rows.get(name === 'request' ? 'visit_request' : name)?.id}`,
    ),
  ].join('&')

for (const pattern of WITH_PLACES) {
  test(`${pattern} of another business is not there for anybody`, async () => {
    const place = fill(pattern, (one) => ('table' in one ? String(world.rows.get(one.table)?.id) : one.word))
    const address = `${place}?${idsElsewhere()}`
    // A link that nobody made has a page that says so.
    const isLink = placesOf(pattern).includes('token')
    const isRefusal = (status: number) => (isLink ? status === 200 : [307, 401, 404, 405].includes(status))
    expect(await wrongAnswers(address, isRefusal)).toEqual([])
  })

  test(`${pattern} with what is no id is not a fault`, async () => {
    for (const word of [newId(), 'x', '%00', '%ff', "'", '..%2f..', 'a'.repeat(3000)])
      expect(
        await wrongAnswers(
          fill(pattern, () => word),
          (status) => status < 500,
        ),
      ).toEqual([])
  })
}

for (const pattern of PATTERNS.filter((one) => placesOf(one).length === 0)) {
  test(`${pattern} with odd questions is not a fault, and tells of nobody else`, async () => {
    for (const query of [
      idsElsewhere(),
      'page=-1&search=%00&from=x&to=x&day=2026-02-30',
      `search=${'%F0%9F%90%A0'.repeat(500)}&page=1e99`,
    ])
      expect(await wrongAnswers(`${pattern}?${query}`, (status) => status < 500)).toEqual([])
  })
}
