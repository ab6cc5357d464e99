import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { bookForTechnician, stopOnRoute } from './book-visit'
import { unfold } from './form-controls'
import { openBrowser, openPage } from './open-browser'
import { loginsOf, openAs, typeLogin } from './people'

let browser: Browser
beforeAll(async () => {
  browser = await openBrowser()
})
afterAll(() => browser?.close())

const ready = (page: Page, name: string) => page.locator(`form[data-form="${name}"][data-ready]`).first().waitFor()
const pressed = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).click()
const login = (role: 'owner' | 'technician') => {
  const [first] = loginsOf(role)
  if (!first) throw new Error(`The demo has no ${role}.`)
  return first
}

/** Everything that the browser keeps of this site for scripts, as text. */
function kept(page: Page): Promise<string> {
  return page.evaluate(async () => {
    const stores: unknown[] = [Object.entries(localStorage), Object.entries(sessionStorage)]
    for (const { name } of await indexedDB.databases()) {
      const opened = indexedDB.open(name ?? '')
      const database = await new Promise<IDBDatabase>((resolve, reject) => {
        opened.onsuccess = () => resolve(opened.result)
        opened.onerror = () => reject(opened.error)
      })
      for (const store of database.objectStoreNames) {
        const all = database.transaction(store).objectStore(store).getAll()
        stores.push(await new Promise((resolve) => (all.onsuccess = () => resolve(all.result))))
      }
      database.close()
    }
    return JSON.stringify(stores)
  })
}

/** Ends the session of everybody in this browser, as its end after some weeks does. */
const endSession = (context: BrowserContext) => context.clearCookies()

describe('a session that has ended', () => {
  test('keeps what was typed, says so, and leads back to it after signing in', async () => {
    const page = await openAs(browser, 'owner')
    await page.goto('/clients/new')
    await ready(page, 'client.add')
    await page.getByLabel('Name', { exact: true }).fill('Gannet Row Café')
    await page.getByLabel('Note for us').fill('Ask for Imogen.\nClosed on Mondays.')
    await endSession(page.context())
    await pressed(page, 'Add this client')
    await page.getByText('You are signed out. Nothing was saved.').waitFor()
    expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe('Gannet Row Café')
    await page.getByRole('link', { name: 'Sign in again' }).click()
    await page.waitForURL(/\/sign-in\?back=/)
    await page.getByLabel('E-mail address').fill(login('owner').email)
    await page.getByLabel('Password').fill(login('owner').password)
    await pressed(page, 'Sign in')
    await page.waitForURL(/\/clients\/new$/)
    await page.getByText('Typed earlier and not sent yet').waitFor()
    expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe('Gannet Row Café')
    expect(await page.getByLabel('Note for us').inputValue()).toBe('Ask for Imogen.\nClosed on Mondays.')
    await pressed(page, 'Add this client')
    await page.getByRole('heading', { level: 1, name: 'Gannet Row Café' }).waitFor()
    await page.goto('/clients/new')
    await ready(page, 'client.add')
    expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe('')
  })

  test('shows nobody else’s words; signing out asks first, and then they are gone from the device', async () => {
    const page = await openAs(browser, 'owner')
    const words = 'Only the owner reads this'
    const note = page.getByLabel('What was promised').or(page.getByLabel('What for'))
    await page.goto('/tanks')
    await page.locator('a.row-link[href^="/tanks/"]').first().click()
    await page.waitForURL(/\/tanks\/[0-9a-f-]{36}$/)
    const tank = new URL(page.url()).pathname.split('/')[2]
    await page.goto(`/visits/new?tank=${tank}`)
    await ready(page, 'visit.start')
    await note.first().fill(words)
    await page.getByText('Kept on this device').waitFor()
    await endSession(page.context())
    await typeLogin(page, login('technician'))
    await page.goto(`/visits/new?tank=${tank}`)
    await ready(page, 'visit.start')
    expect(await note.first().inputValue()).toBe('')
    await endSession(page.context())
    await typeLogin(page, login('owner'))
    await page.goto(`/visits/new?tank=${tank}`)
    await page.getByText('Typed earlier and not sent yet').waitFor()
    expect(await note.first().inputValue()).toBe(words)

    await page.goto('/account')
    const out = page.locator('form[data-form="sign-out"][data-ready] button').first()
    await out.click()
    await page.getByText('One form typed here and never sent would be lost').first().waitFor()
    await out.click()
    await page.waitForURL(/\/sign-in$/)
    await expect.poll(() => kept(page)).not.toContain(words)
  })
})

test('a field that is there because of another answer keeps its words too', async () => {
  const page = await openAs(browser, 'owner')
  await page.goto('/tanks')
  await page.locator('a.row-link[href^="/tanks/"]').first().click()
  await page.waitForURL(/\/tanks\/[0-9a-f-]{36}$/)
  await page.goto(`${new URL(page.url()).pathname}/refills/new`)
  await ready(page, 'reservoir.add')
  await page.getByLabel('What is in it?').selectOption({ index: 1 })
  await page.getByLabel('Counted in').selectOption({ index: 1 })
  const unit = await page.getByLabel('Counted in').inputValue()
  await page.getByText('Kept on this device').waitFor()
  await page.reload()
  await page.getByText('Typed earlier and not sent yet').waitFor()
  expect(await page.getByLabel('Counted in').inputValue()).toBe(unit)
  // Kept again with the next word, it is all there.
  await page.getByLabel('What do you call it?').fill('Left container')
  await expect.poll(() => kept(page)).toContain('Left container')
  await page.reload()
  await page.getByText('Typed earlier and not sent yet').waitFor()
  expect(await page.getByLabel('Counted in').inputValue()).toBe(unit)
  expect(await page.getByLabel('What do you call it?').inputValue()).toBe('Left container')
})

test('passwords and how one gets into a house are never kept on the device', async () => {
  const page = await openAs(browser, 'owner')
  await page.goto('/account')
  await ready(page, 'password.change')
  await page.getByLabel('Present password').fill('old sea urchin spines')
  await page.getByLabel('New password').fill('new sea urchin spines')
  await page.goto('/clients/sites/new')
  await ready(page, 'site.add')
  await page.getByLabel('What is the site called?').fill('Curlew House')
  await page.getByLabel('How to get in').fill('Alarm 4711, key under the fern')
  await page.getByText('Kept on this device').waitFor()
  const all = await kept(page)
  expect(all).toContain('Curlew House')
  expect(all).not.toMatch(/urchin|4711/)
})

test('without a database in the browser the words stay all the same, also through signing in again', async () => {
  const page = await openAs(browser, 'owner')
  await page.addInitScript(() => Object.defineProperty(window, 'indexedDB', { value: undefined }))
  await page.goto('/parts/suppliers')
  await ready(page, 'supplier.add')
  const form = page.locator('form[data-form="supplier.add"]')
  await form.getByLabel('Name', { exact: true }).fill('Limpet & Sons')
  await page.context().setOffline(true)
  await pressed(page, 'Add this supplier')
  await form.getByText('No signal: this was not sent').waitFor()
  expect(await form.getByLabel('Name', { exact: true }).inputValue()).toBe('Limpet & Sons')
  await page.context().setOffline(false)
  const cookies = await page.context().cookies()
  await endSession(page.context())
  await pressed(page, 'Add this supplier')
  await form.getByRole('link', { name: 'Sign in again' }).waitFor()
  await page.context().addCookies(cookies)
  await form.getByRole('link', { name: 'Sign in again' }).click()
  await page.waitForURL(/\/parts\/suppliers$/)
  await ready(page, 'supplier.add')
  await expect.poll(() => form.getByLabel('Name', { exact: true }).inputValue()).toBe('Limpet & Sons')
})

test('an answer that is lost after the server has saved: pressed again it is still one', async () => {
  const page = await openAs(browser, 'owner')
  const name = `Dunlin Dental ${process.pid}`
  await page.goto('/clients/new')
  await ready(page, 'client.add')
  await page.getByLabel('Name', { exact: true }).fill(name)
  await page.route('**/clients/new', async (route) => {
    if (route.request().method() !== 'POST') return route.fallback()
    await route.fetch() // it arrives and is saved; the answer never comes back
    await route.abort('connectionreset')
  })
  await pressed(page, 'Add this client')
  await page.getByText('No signal: this was not sent').waitFor()
  await page.unroute('**/clients/new')
  await page.reload()
  await page.getByText('Typed earlier and not sent yet').waitFor()
  await pressed(page, 'Add this client')
  await page.getByRole('heading', { level: 1, name }).waitFor()
  await page.goto(`/clients?q=${encodeURIComponent(name)}`)
  expect(await page.getByRole('link', { name }).count()).toBe(1)
})

test('an entry whose answer was lost, put right after a reload: what was kept is said, and pressed again it is another', async () => {
  const page = await openAs(browser, 'owner')
  const [first, second] = [`Plover Print ${process.pid}`, `Plover Press ${process.pid}`]
  await page.goto('/clients/new')
  await ready(page, 'client.add')
  await page.getByLabel('Name', { exact: true }).fill(first)
  await page.route('**/clients/new', async (route) => {
    if (route.request().method() !== 'POST') return route.fallback()
    await route.fetch()
    await route.abort('connectionreset')
  })
  await pressed(page, 'Add this client')
  await page.getByText('No signal: this was not sent').waitFor()
  await page.unroute('**/clients/new')
  await page.reload()
  await page.getByText('Typed earlier and not sent yet').waitFor()
  await page.getByLabel('Name', { exact: true }).fill(second)
  await pressed(page, 'Add this client')
  await page.getByText('This entry was already saved').first().waitFor()
  expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe(second)
  await pressed(page, 'Add this client')
  await page.getByRole('heading', { level: 1, name: second }).waitFor()
})

test('words typed while it is being sent are not lost with the answer', async () => {
  const page = await openAs(browser, 'owner')
  const name = `Avocet Arms ${process.pid}`
  await page.goto('/parts/suppliers')
  await ready(page, 'supplier.add')
  const form = page.locator('form[data-form="supplier.add"]')
  let letThrough: () => void = () => undefined
  const held = new Promise<void>((resolve) => {
    letThrough = resolve
  })
  await page.route('**/parts/suppliers', async (route) => {
    if (route.request().method() === 'POST') await held
    return route.fallback()
  })
  await form.getByLabel('Name', { exact: true }).fill(name)
  await pressed(page, 'Add this supplier')
  await form.getByLabel('Name', { exact: true }).fill(`${name} and more`)
  letThrough()
  await page.getByText(name, { exact: true }).first().waitFor()
  expect(await form.getByLabel('Name', { exact: true }).inputValue()).toBe(`${name} and more`)
  await page.unroute('**/parts/suppliers')
})

test('a server that says nothing is not waited for without end', async () => {
  const page = await openAs(browser, 'owner')
  await page.clock.install()
  await page.goto('/clients/new')
  await ready(page, 'client.add')
  await page.getByLabel('Name', { exact: true }).fill('Whelk Lane Surgery')
  await page.route('**/clients/new', (route) => (route.request().method() === 'POST' ? undefined : route.fallback()))
  await pressed(page, 'Add this client')
  await page.getByRole('button', { name: 'One moment' }).waitFor()
  await page.clock.fastForward(26_000)
  await page.getByText('No answer yet. Reload the page and press again').waitFor()
  expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe('Whelk Lane Surgery')
})

describe('before scripts have come', () => {
  test('the sign-in works without them: a wrong password is said, the address stays, the right one opens', async () => {
    const page = await openPage(browser, { javaScriptEnabled: false })
    await page.goto('/sign-in')
    await page.getByLabel('E-mail address').fill(login('owner').email)
    await page.getByLabel('Password').fill('not the password')
    await pressed(page, 'Sign in')
    await page.getByText('do not belong together').waitFor()
    expect(await page.getByLabel('E-mail address').inputValue()).toBe(login('owner').email)
    expect(await page.getByLabel('Password').inputValue()).toBe('')
    await page.getByLabel('Password').fill(login('owner').password)
    await pressed(page, 'Sign in')
    await page.waitForURL(/\/today$/)
    await page.goto('/clients/new')
    // A press now would take what was typed with it: the button waits.
    expect(await page.getByRole('button', { name: 'Add this client' }).isDisabled()).toBe(true)
  })

  test('what is typed while they are on their way is not lost', async () => {
    const page = await openAs(browser, 'owner')
    let letThrough: () => void = () => undefined
    const open = new Promise<void>((resolve) => (letThrough = resolve))
    await page.route('**/_next/static/**/*.js', async (route) => {
      await open
      await route.fallback()
    })
    await page.goto('/clients/new', { waitUntil: 'commit' })
    await page.getByLabel('Name', { exact: true }).fill('Sandpiper Lodge')
    await page.getByLabel('Name', { exact: true }).press('Enter')
    letThrough()
    await ready(page, 'client.add')
    expect(new URL(page.url()).search).toBe('')
    expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe('Sandpiper Lodge')
    await page.getByText('Kept on this device').waitFor()
  })
})

test('rows of fields come back as they were', async () => {
  const page = await openAs(browser, 'owner')
  await page.goto('/tanks/new')
  await ready(page, 'tank.add')
  await page.getByLabel('What is it called there?').fill('Landing')
  await pressed(page, 'Add a device')
  await page.getByLabel('What do you call it?').fill('Return pump, left')
  await pressed(page, 'Add another device')
  await page.getByLabel('What do you call it?').nth(1).fill('Heater')
  await page.getByText('Kept on this device').waitFor()
  await page.reload()
  await page.getByText('Typed earlier and not sent yet').waitFor()
  expect(await page.getByLabel('What is it called there?').inputValue()).toBe('Landing')
  const labels = page.getByLabel('What do you call it?')
  expect(await Promise.all([0, 1].map((place) => labels.nth(place).inputValue()))).toEqual([
    'Return pump, left',
    'Heater',
  ])
  await page.goto('/today')
  await page.goBack()
  await page.getByText('Typed earlier and not sent yet').waitFor()
  expect(await labels.count()).toBe(2)
})

test('lines of a draft are added and taken off one after the other, before anything is saved', async () => {
  const page = await openAs(browser, 'owner')
  await page.goto('/money')
  await ready(page, 'draft.start')
  await page.getByLabel('Who pays?').selectOption({ index: 1 })
  await pressed(page, 'Start an empty draft')
  await page.waitForURL(/\/money\/[0-9a-f-]{36}$/)
  await ready(page, 'draft.edit')
  const what = page.getByLabel('What for')
  for (const [place, words] of ['Moving the tank', 'Discount for the wait', 'Gravel'].entries()) {
    await page.getByLabel('Add a line').selectOption({ label: 'A free line' })
    await what.nth(place).fill(words)
  }
  await pressed(page, 'Take line 1 off')
  await pressed(page, 'Take line 2 off')
  await expect.poll(() => what.count()).toBe(1)
  expect(await what.inputValue()).toBe('Discount for the wait')
  await page.getByLabel('Price of one').fill('12')
  await pressed(page, 'Save the draft')
  await page.getByText('Saved.').waitFor()
  await page.reload()
  await ready(page, 'draft.edit')
  expect(await what.inputValue()).toBe('Discount for the wait')
  expect(await page.getByText(/not sent yet/i).count()).toBe(0)
})

/** A picture of one point, as PNG (from memory: the smallest file that decoders take). */
const PICTURE = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==',
  'base64',
)

test('on a visit, adding a picture leaves the notes and the promise on the page as they are', async () => {
  const owner = await openAs(browser, 'owner')
  await owner.goto('/tanks')
  await owner.locator('a.row-link[href^="/tanks/"]').first().click()
  await owner.waitForURL(/\/tanks\/[0-9a-f-]{36}$/)
  const what = `A picture and notes, says ${process.pid}`
  const { day } = await bookForTechnician(owner, new URL(owner.url()).pathname.split('/')[2] ?? '', what)
  const page = await openAs(browser, 'technician')
  await page.goto(`${await stopOnRoute(page, day, what)}/leave`)
  await ready(page, 'photo.add')
  const [forClient, promise] = [page.getByLabel('Note for the client'), page.locator('form[data-form="visit.promise"]')]
  await unfold(promise)
  const note = `${await forClient.inputValue()} The clownfish have laid again.`.trim()
  await forClient.fill(note)
  await promise.getByLabel('What').fill('Bring a spare air stone')
  await page.getByLabel('Picture').setInputFiles({ name: 'one.png', mimeType: 'image/png', buffer: PICTURE })
  await page.getByLabel('What it shows').fill('Eggs on the pot')
  await pressed(page, 'Add the picture')
  await page.getByText('Photo saved.').waitFor()
  await page.getByAltText('Eggs on the pot').waitFor()
  expect(await forClient.inputValue()).toBe(note)
  expect(await promise.getByLabel('What').inputValue()).toBe('Bring a spare air stone')
  expect(await page.getByLabel('What it shows').inputValue()).toBe('')
  expect(await page.getByText('Not sent yet').count()).toBe(2) // the note and the promise, and not the picture
})
