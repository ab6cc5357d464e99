import type { BrowserContext, Page } from 'playwright-core'
import { ROLES, type Role } from '@/lib/office/frame/role-actions'
import { matches } from './app-routes'
import { bookForTechnician, stopOnRoute } from './book-visit'
import { RETRIES, type Visitor } from './people'

export type Sessions = Readonly<Record<Visitor, BrowserContext>>

export type RouteEntry = {
  /** Who may see it. The first is the one it is looked at as. */
  roles: readonly Visitor[]
  /** A real address where the pattern has places to fill in; read off other screens as that first visitor sees them. */
  find?: (sessions: Sessions) => Promise<string>
  /** A screen somebody has before them all day: looked at in both sizes and both colours. */
  main?: true
  /** Has nothing of its own to show in the demo and leads on to this address. */
  leadsTo?: string
}

const OWNER = ['owner'] as const
const ROUND = ['technician', 'owner'] as const
const OFFICE_ROUND = ['owner', 'technician'] as const
const MONEY = ['owner', 'accountant'] as const
const CLIENT = ['client'] as const
const OUTSIDE = ['signed out'] as const

/** Every page of the product. A page that is not here fails the tests: say who may see it and where to find one. */
export const ROUTE_TABLE: Readonly<Record<string, RouteEntry>> = {
  '/': { roles: OUTSIDE, leadsTo: '/sign-in' },
  '/sign-in': { roles: OUTSIDE, main: true },
  '/first-run': { roles: OUTSIDE, leadsTo: '/sign-in' },
  '/invitation/[token]': { roles: OUTSIDE, find: (sessions) => makeLink(sessions, 'invitation') },
  '/reset/[token]': { roles: OUTSIDE, find: (sessions) => makeLink(sessions, 'reset') },
  '/account': { roles: ROLES },

  '/today': { roles: OWNER, main: true },
  '/plan': { roles: OWNER, main: true },
  '/plan/book': { roles: OWNER, find: linkOn('owner', '/today', /^\/plan\/book\?.*/) },
  '/plan/due': { roles: OWNER },
  '/plan/requests': { roles: OWNER },
  '/plan/visits/[visitId]': { roles: OWNER, find: linkOn('owner', '/plan', '/plan/visits/[visitId]') },
  '/tanks': { roles: OFFICE_ROUND, main: true },
  '/tanks/new': { roles: OWNER },
  '/tanks/merge': { roles: OWNER },
  '/tanks/[tankId]': { roles: OFFICE_ROUND, find: aTank, main: true },
  '/tanks/[tankId]/edit': { roles: OWNER, find: ofTank('/edit') },
  '/tanks/[tankId]/agreement': { roles: OWNER, find: ofTank('/agreement') },
  '/tanks/[tankId]/hand-over': { roles: OWNER, find: ofTank('/hand-over') },
  '/tanks/[tankId]/photos': { roles: OWNER, find: ofTank('/photos') },
  '/tanks/[tankId]/how-often': { roles: OFFICE_ROUND, find: ofTank('/how-often') },
  '/tanks/[tankId]/equipment/new': { roles: OWNER, find: ofTank('/equipment/new') },
  '/tanks/[tankId]/equipment/[equipmentId]': {
    roles: OWNER,
    find: async (sessions) =>
      linkOn('owner', await aTank(sessions), '/tanks/[tankId]/equipment/[equipmentId]')(sessions),
  },
  '/tanks/[tankId]/refills/new': { roles: OWNER, find: ofTank('/refills/new') },
  '/tanks/[tankId]/refills/[reservoirId]': {
    roles: OFFICE_ROUND,
    find: linkOn('owner', '/today', '/tanks/[tankId]/refills/[reservoirId]'),
  },
  '/clients': { roles: OWNER },
  '/clients/new': { roles: OWNER },
  '/clients/merge': { roles: OWNER },
  '/clients/[clientId]': { roles: OWNER, find: aClient },
  '/clients/[clientId]/edit': { roles: OWNER, find: async (sessions) => `${await aClient(sessions)}/edit` },
  '/clients/sites/new': { roles: OWNER },
  '/clients/sites/merge': { roles: OWNER },
  '/clients/sites/[siteId]': { roles: OWNER, find: aSite },
  '/clients/sites/[siteId]/edit': { roles: OWNER, find: async (sessions) => `${await aSite(sessions)}/edit` },
  '/imports': { roles: OWNER },
  '/imports/new': { roles: OWNER },
  '/imports/[importId]': { roles: OWNER, find: linkOn('owner', '/imports', '/imports/[importId]') },
  '/work-due': { roles: OFFICE_ROUND, main: true },
  '/work-due/intervals': { roles: OWNER, main: true },
  '/work-due/how-often': { roles: OFFICE_ROUND },
  '/work-due/learned': { roles: OFFICE_ROUND },
  '/work-due/learned/[equipmentClass]/[failureMode]': {
    roles: OFFICE_ROUND,
    find: linkOn('owner', '/work-due/learned', '/work-due/learned/[equipmentClass]/[failureMode]'),
  },
  '/work-due/[equipmentId]/[careTask]': {
    roles: OFFICE_ROUND,
    find: linkOn('owner', '/work-due', '/work-due/[equipmentId]/[careTask]'),
    main: true,
  },
  '/repeat-faults': { roles: OFFICE_ROUND, main: true },
  '/repeat-faults/[tankId]/[equipmentClass]/[failureMode]': {
    roles: OFFICE_ROUND,
    find: linkOn('owner', '/repeat-faults', '/repeat-faults/[tankId]/[equipmentClass]/[failureMode]'),
  },
  '/repeat-faults/over-time': { roles: OFFICE_ROUND },
  '/repeat-faults/people': { roles: OFFICE_ROUND },
  '/parts': { roles: OFFICE_ROUND, main: true },
  '/parts/new': { roles: OFFICE_ROUND },
  '/parts/orders': { roles: OFFICE_ROUND },
  '/parts/vans': { roles: OFFICE_ROUND },
  '/parts/suppliers': { roles: OFFICE_ROUND },
  '/parts/[partId]': { roles: OFFICE_ROUND, find: linkOn('owner', '/parts', /^\/parts\/[0-9a-f-]{36}$/), main: true },
  '/parts/count/[placeId]': {
    roles: OFFICE_ROUND,
    find: linkOn('owner', '/parts/vans', '/parts/count/[placeId]'),
  },
  '/parts/lots': { roles: OFFICE_ROUND },
  '/parts/lots/[lotId]': { roles: OFFICE_ROUND, find: linkOn('owner', '/parts/lots', '/parts/lots/[lotId]') },
  '/money': { roles: MONEY, main: true },
  '/money/prices': { roles: MONEY },
  '/money/charges': {
    roles: MONEY,
    find: async (sessions) => linkOn('owner', await aClient(sessions), /^\/money\/charges\?client=/)(sessions),
  },
  '/money/[invoiceId]': { roles: MONEY, find: linkOn('owner', '/money', '/money/[invoiceId]'), main: true },
  '/people': { roles: OWNER },
  '/people/new': { roles: OWNER },
  '/people/[personId]': { roles: OWNER, find: linkOn('owner', '/people', '/people/[personId]') },
  '/settings': { roles: OWNER },
  '/settings/costs': { roles: OWNER },
  '/settings/refused-entries': { roles: OWNER },

  '/route': { roles: ROUND, main: true },
  '/visits/new': {
    roles: ROUND,
    find: async (sessions) => `/visits/new?tank=${(await aTank(sessions)).split('/')[2]}`,
  },
  '/calls': { roles: ROUND },
  '/calls/[tankId]': { roles: ROUND, find: aTankCalled, main: true },
  '/visits/[visitId]': { roles: ROUND, find: aStop, main: true },
  '/visits/[visitId]/look': { roles: ROUND, find: ofStop('/look'), main: true },
  '/visits/[visitId]/find': { roles: ROUND, find: ofStop('/find') },
  '/visits/[visitId]/test': { roles: ROUND, find: ofStop('/test') },
  '/visits/[visitId]/work': { roles: ROUND, find: ofStop('/work'), main: true },
  '/visits/[visitId]/leave': { roles: ROUND, find: ofStop('/leave') },

  '/our-tanks': { roles: CLIENT, main: true },
  '/our-tanks/[tankId]': { roles: CLIENT, find: aRecord, main: true },
  '/our-tanks/[tankId]/visits/[visitId]': {
    roles: CLIENT,
    find: async (sessions) =>
      linkOn('client', await aRecord(sessions), '/our-tanks/[tankId]/visits/[visitId]')(sessions),
  },
  '/our-tanks/invoices': { roles: CLIENT },

  '/books': { roles: ['accountant', 'owner'], main: true },
  '/books/debtors': { roles: ['accountant', 'owner'], main: true },
  '/books/tax': {
    roles: ['accountant', 'owner'],
    find: linkOn('accountant', '/books?from=2000-01-01', /^\/books\/tax\?/),
  },
  '/books/clients/[clientId]': {
    roles: ['accountant', 'owner'],
    find: linkOn('accountant', '/books/debtors', /^\/books\/clients\/[0-9a-f-]{36}/),
    main: true,
  },
  '/books/payments/[paymentId]': {
    roles: ['accountant', 'owner'],
    find: linkOn('accountant', '/books?from=2000-01-01', '/books/payments/[paymentId]'),
  },
}

/** Finds the first link of this kind on a screen as somebody sees it. */
function linkOn(as: Role, screen: string, kind: string | RegExp): (sessions: Sessions) => Promise<string> {
  return async (sessions) => {
    const html = await (await sessions[as].request.get(screen, { maxRetries: RETRIES })).text()
    const links = [...html.matchAll(/href="([^"]+)"/g)].map(([, href = '']) => href.replaceAll('&amp;', '&'))
    const found = links.find((href) =>
      typeof kind === 'string'
        ? matches(kind, href.split('?')[0] ?? '') &&
          !/\/(new|merge|prices|charges|requests|due|book)$/.test(href.split('?')[0] ?? '')
        : kind.test(href),
    )
    if (!found) throw new Error(`${screen} shows the ${as} no link to ${kind}.`)
    return found
  }
}

function aTank(sessions: Sessions): Promise<string> {
  return linkOn('owner', '/tanks', '/tanks/[tankId]')(sessions)
}

function ofTank(rest: string): (sessions: Sessions) => Promise<string> {
  return async (sessions) => `${await aTank(sessions)}${rest}`
}

function aClient(sessions: Sessions): Promise<string> {
  return linkOn('owner', '/clients', '/clients/[clientId]')(sessions)
}

async function aSite(sessions: Sessions): Promise<string> {
  return linkOn('owner', await aClient(sessions), '/clients/sites/[siteId]')(sessions)
}

let stop: Promise<string> | undefined

/** A visit that is still to come, booked once for all screens that show it. */
/** The screen for whoever rings about that tank. */
async function aTankCalled(sessions: Sessions): Promise<string> {
  return `/calls/${(await aTank(sessions)).split('/')[2]}`
}

function aStop(sessions: Sessions): Promise<string> {
  stop ??= bookStop(sessions)
  return stop
}

async function bookStop(sessions: Sessions): Promise<string> {
  const [owner, technician] = await Promise.all([sessions.owner.newPage(), sessions.technician.newPage()])
  const whatFor = `A look at every screen of a visit, says desk ${process.pid}`
  try {
    const tankId = (await aTank(sessions)).split('/')[2] ?? ''
    const { day } = await bookForTechnician(owner, tankId, whatFor)
    return await stopOnRoute(technician, day, whatFor)
  } finally {
    await Promise.all([owner.close(), technician.close()])
  }
}

function ofStop(rest: string): (sessions: Sessions) => Promise<string> {
  return async (sessions) => `${await aStop(sessions)}${rest}`
}

/** Clients with one tank come to it at once, without a list. */
async function aRecord(sessions: Sessions): Promise<string> {
  const { pathname } = new URL((await sessions.client.request.get('/our-tanks', { maxRetries: RETRIES })).url())
  return matches('/our-tanks/[tankId]', pathname)
    ? pathname
    : linkOn('client', '/our-tanks', '/our-tanks/[tankId]')(sessions)
}

/** Has the owner make a one-time link, for somebody new or for the first technician's password. */
async function makeLink(sessions: Sessions, kind: 'invitation' | 'reset'): Promise<string> {
  const page = await sessions.owner.newPage()
  try {
    await (kind === 'invitation' ? inviteSomebody(page) : askForReset(page))
    const link = new URL((await page.locator('output code').textContent()) ?? '')
    if (!link.pathname.startsWith(`/${kind}/`)) throw new Error(`${link.pathname} is no link for this`)
    return link.pathname
  } finally {
    await page.close()
  }
}

async function inviteSomebody(page: Page): Promise<void> {
  await page.goto('/people/new')
  await page.getByLabel('Name').fill('Quill Varley')
  await page.getByRole('button', { name: 'Add this person' }).click()
  await page.getByLabel('E-mail address they will sign in with').fill('quill@harbourlane.example')
  await page.getByLabel('They work here').check()
  await page.getByRole('checkbox', { name: 'Accountant' }).check()
  await page.getByRole('button', { name: 'Make an invitation link' }).click()
}

async function askForReset(page: Page): Promise<void> {
  await page.goto('/people')
  await page.getByRole('link', { name: 'Priya Lennox' }).click()
  await page.getByRole('button', { name: 'Make a link for a new password' }).click()
}
