import type { Browser, BrowserContext, Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { standing, typeIntoAll, unfold } from './form-controls'
import { type FoundForm, namesInCode, walkForms } from './form-list'
import { openBrowser, openPage } from './open-browser'
import { openAs, openSessions, type Visitor } from './people'
import type { Sessions } from './route-table'

let browser: Browser
let sessions: Sessions
let forms: FoundForm[]
let faults: string[]

beforeAll(async () => {
  browser = await openBrowser()
  sessions = await openSessions(browser)
  // A second device of the owner, whose session can be ended.
  await (await openAs(browser, 'owner')).context().close()
  const walked = await walkForms(sessions)
  forms = walked.forms
  faults = walked.faults
}, 240_000)
afterAll(() => browser?.close())

const formOn = (page: Page, { name, about }: Pick<FoundForm, 'name' | 'about'>) =>
  page.locator(`form[data-form="${name}"][data-about="${about.replaceAll('"', '\\"')}"]`).first()

/** Ready to be used, with what was kept back in it. */
async function readied(page: Page, form: FoundForm): Promise<Locator> {
  const found = formOn(page, form)
  await page.locator(`form[data-form="${form.name}"][data-ready]`).first().waitFor({ state: 'attached' })
  await unfold(found)
  return found
}

const press = (form: Locator) => form.locator('button[type="submit"]').last().click()

test('every form has a name, and no two of a page are kept under the same', () => expect(faults).toEqual([]))

/** Not to be seen in the demo: their pages are other states of pages that are. */
const NOT_IN_THE_DEMO: readonly string[] = [
  'agreement.add', // a tank without an agreement: the same component as agreement.change
  'business.switch', // somebody of two businesses
  ...['client', 'site', 'tank', 'reservoir', 'person'].map((thing) => `${thing}.restore`), // archived: the same step as archiving
  'visit.switch-on', // while something is switched off: the technician's test does that
  'first-run', // before there is a business
  'price.tax-all', // after becoming registered for tax: the demo was from its first day
  'settings.no-logo', // a business with a logo: the same step as the others
  'credit.move', // somebody with credit in hand: the accountant's tests have one
  'draft.new-figures', // a draft whose work changed since it was made
  'charge.take-back-waiver', // something waived: the same component as charge.waive
  'level.correct', // a level told outside a visit: the same component as level.record
]

test('every form of the code is met on a walk through the pages', () => {
  const met = new Set(forms.map(({ name }) => name))
  const inCode = namesInCode()
  expect(inCode.length).toBeGreaterThan(60)
  expect(inCode.filter((name) => !met.has(name) && !NOT_IN_THE_DEMO.includes(name))).toEqual([])
  expect([...met].filter((name) => !inCode.includes(name))).toEqual([])
})

const IN_THE_DEMO = namesInCode().filter((name) => !NOT_IN_THE_DEMO.includes(name))

describe('no form loses a word: network cut, pressed twice at a server that fails, session ended, reload', () => {
  test.concurrent.each(IN_THE_DEMO)(
    '%s',
    async (name) => {
      const kind = forms.find((form) => form.name === name)
      if (!kind) throw new Error('no page shows this form')
      expect(await losesNothing(kind)).toEqual([])
    },
    180_000,
  )
})

/** A slow machine may take ten seconds to draw a page again. */
const [LOOKS, BETWEEN_LOOKS_MS] = [50, 200]

/** Anything: no server of this test reads it. */
const PICTURE = { name: 'tank.png', mimeType: 'image/png', buffer: Buffer.from('a picture') }

async function losesNothing(kind: FoundForm): Promise<string[]> {
  const wrong: string[] = []
  const context = await contextOf(kind.visitor)
  const page = await context.newPage()
  const isSignedIn = kind.visitor !== 'signed out'
  try {
    await page.goto(kind.address)
    const form = await readied(page, kind)
    const openedAt = page.url()
    const before = await standing(form)
    await typeIntoAll(form)
    for (const file of await form.locator('input[type="file"]').all()) await file.setInputFiles(PICTURE)
    const typed = await standing(form)
    const hasWords = JSON.stringify(typed) !== JSON.stringify(before)
    /** What is on the page when it has come to rest: a page on its way back shows for a moment what it had at first. */
    const check = async (when: string, words: RegExp) => {
      let problems: string[] = []
      for (let looks = 0; looks < LOOKS; looks++) {
        if (looks > 0) await page.waitForTimeout(BETWEEN_LOOKS_MS)
        const now = await standing(form)
        const same = JSON.stringify(now) === JSON.stringify(typed)
        const said = words.test((await form.textContent()) ?? '')
        problems = [
          ...(same ? [] : [`${kind.name} ${kind.address}, ${when}: ${difference(typed, now)}`]),
          ...(said ? [] : [`${kind.name}, ${when}: does not say ${words}`]),
        ]
        if (problems.length === 0) return
      }
      wrong.push(...problems)
    }
    const answered = () => form.locator('[role="alert"]').first().waitFor()

    await context.setOffline(true)
    await press(form)
    await answered()
    await check('network cut', /No signal: this was not sent/)
    if (hasWords && isSignedIn) await check('network cut', /Not sent yet/)
    await context.setOffline(false)

    let sent = 0
    await page.route('**', async (route) => {
      if (route.request().method() !== 'POST') return route.fallback()
      sent += 1
      await new Promise((resolve) => setTimeout(resolve, 200))
      await route.fulfill({ status: 500, contentType: 'text/plain', body: 'down' })
    })
    await form.locator('button[type="submit"]').last().dblclick()
    await form.getByText('The server could not be reached').waitFor()
    await check('server down', /nothing is saved twice/)
    if (sent !== 1) wrong.push(`${kind.name}: pressed twice it was sent ${sent} times`)
    await page.unroute('**')
    await unfold(form) // the second press may have met what it is folded into

    if (!isSignedIn) return wrong
    if (!['sign-out', 'photo.add', 'settings.logo'].includes(kind.name)) {
      const cookies = await context.cookies()
      await context.clearCookies()
      await press(form)
      await form.getByText('You are signed out').waitFor()
      await check('session ended', /Sign in again/)
      await context.addCookies(cookies)
      await form.getByRole('link', { name: 'Sign in again' }).click()
      await page.waitForLoadState('networkidle')
      await readied(page, kind)
      // Signed in meanwhile elsewhere, one comes back to the same form: its words are there, as not sent.
      await check('back from signing in', hasWords ? /not sent yet/i : /./)
    }
    await page.reload()
    await readied(page, kind)
    await check('reload', hasWords ? /Typed earlier and not sent yet/ : /./)
    if (hasWords) {
      await form.getByRole('button', { name: 'Throw it away' }).click()
      await form.getByRole('button', { name: 'Throw it away' }).waitFor({ state: 'detached' })
      const after = await standing(form)
      // Where a choice shows other choices, the page has it in its address, and says the same when it is opened again.
      if (page.url() !== openedAt) return wrong
      if (JSON.stringify(after) !== JSON.stringify(before))
        wrong.push(`${kind.name}, thrown away: ${difference(before, after)}`)
    }
    return wrong
  } finally {
    await context.close()
  }
}

function difference(wanted: Record<string, unknown>, got: Record<string, unknown>): string {
  const names = [...new Set([...Object.keys(wanted), ...Object.keys(got)])].filter((name) => wanted[name] !== got[name])
  return names.map((name) => `${name} was ${JSON.stringify(wanted[name])}, is ${JSON.stringify(got[name])}`).join('; ')
}

/** A session of its own: it is cut off and signed out, which must not reach another. */
async function contextOf(visitor: Visitor): Promise<BrowserContext> {
  const page = await openPage(browser, { storageState: await sessions[visitor].storageState() })
  await page.close()
  return page.context()
}
