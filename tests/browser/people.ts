import type { Browser, BrowserContext, BrowserContextOptions, Page } from 'playwright-core'
import { ROLES, type Role } from '@/lib/office/frame/role-actions'
import { demoLogins } from '@/seed/index'
import { DESK, openPage, PHONE } from './open-browser'

export type Visitor = Role | 'signed out'
export const VISITORS: readonly Visitor[] = [...ROLES, 'signed out']

/** A question asked at the moment in which the server closes an idle connection is asked again. */
export const RETRIES = 2

/** The size of screen each role works at. */
const SCREEN_OF: Readonly<Record<Visitor, typeof DESK>> = {
  owner: DESK,
  technician: PHONE,
  client: PHONE,
  accountant: DESK,
  'signed out': PHONE,
}

/** The demo's logins of one role, in the order of the seed. */
export function loginsOf(role: Role): { email: string; password: string }[] {
  return demoLogins.filter((login) => login.role.toLowerCase() === role)
}

/** Types a login into the sign-in form and waits for that person's first screen. */
export async function typeLogin(page: Page, login: { email: string; password: string }): Promise<void> {
  await page.goto('/sign-in')
  await page.getByLabel('E-mail address').fill(login.email)
  await page.getByLabel('Password').fill(login.password)
  await page.getByRole('button', { name: 'Sign in' }).click()
  await page.waitForURL((url) => url.pathname !== '/sign-in')
}

/** A page on which the demo's person number `index` of this role is signed in, at the size that role works at. */
export async function openAs(browser: Browser, role: Role, options: BrowserContextOptions = {}, index = 0) {
  const login = loginsOf(role)[index]
  if (!login) throw new Error(`The demo has no ${role} number ${index}.`)
  const page = await openPage(browser, { viewport: SCREEN_OF[role], ...options })
  await typeLogin(page, login)
  return page
}

/** One signed-in session for every kind of visitor. */
export async function openSessions(
  browser: Browser,
  options: BrowserContextOptions = {},
): Promise<Record<Visitor, BrowserContext>> {
  const open = async (visitor: Visitor) => {
    const page = await (visitor === 'signed out'
      ? openPage(browser, { viewport: PHONE, ...options })
      : openAs(browser, visitor, options))
    await page.close()
    return page.context()
  }
  return {
    owner: await open('owner'),
    technician: await open('technician'),
    client: await open('client'),
    accountant: await open('accountant'),
    'signed out': await open('signed out'),
  }
}
