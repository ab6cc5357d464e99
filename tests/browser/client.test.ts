import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { matches } from './app-routes'
import { openBrowser, PHONE } from './open-browser'
import { openAs, RETRIES } from './people'
import { watchPage } from './watch-page'

let browser: Browser
let phone: Page
/** Somebody of another client. */
let neighbour: Page
let complaints: string[]

beforeAll(async () => {
  browser = await openBrowser()
  phone = await openAs(browser, 'client')
  neighbour = await openAs(browser, 'client', {}, 1)
  complaints = watchPage(phone).complaints
})
afterAll(() => browser?.close())

/** The addresses of the tanks that somebody has on their first screen; a client with one tank stands in front of it at once. */
async function tanksOf(page: Page): Promise<string[]> {
  await page.goto('/our-tanks')
  const { pathname } = new URL(page.url())
  if (matches('/our-tanks/[tankId]', pathname)) return [pathname]
  const links = await page.locator('main a[href^="/our-tanks/"]').all()
  const addresses = await Promise.all(links.map(async (link) => (await link.getAttribute('href')) ?? ''))
  return addresses.filter((address) => !address.endsWith('/invoices'))
}

test('a client sees their own tanks only, and another client’s are not there for them', async () => {
  const [own, others] = [await tanksOf(phone), await tanksOf(neighbour)]
  expect(own.length).toBeGreaterThan(0)
  expect(others.length).toBeGreaterThan(0)
  expect(own.filter((address) => others.includes(address))).toEqual([])
  for (const address of others) expect((await phone.request.get(address, { maxRetries: RETRIES })).status()).toBe(404)
  for (const address of own) expect((await neighbour.request.get(address, { maxRetries: RETRIES })).status()).toBe(404)
  for (const address of own) expect((await phone.request.get(address, { maxRetries: RETRIES })).status()).toBe(200)
})

test('the last visit is told in sentences, with its pictures; no odds of failure and no costs', async () => {
  const seen: string[] = []
  for (const address of await tanksOf(phone)) {
    await phone.goto(address)
    await phone.getByRole('heading', { name: 'Last visit' }).waitFor()
    const words = (await phone.locator('main').textContent()) ?? ''
    expect(words).not.toMatch(/probab|chance|odds|costs? a year|per cent|in 100/i)
    for (const picture of await phone.locator('main img').all()) {
      await picture.scrollIntoViewIfNeeded()
      await picture.evaluate((image: HTMLImageElement) => image.decode())
      expect(await picture.evaluate((image: HTMLImageElement) => image.naturalWidth)).toBeGreaterThan(0)
      const box = await picture.boundingBox()
      expect((box?.x ?? 0) + (box?.width ?? 0)).toBeLessThanOrEqual(PHONE.width)
      seen.push((await picture.getAttribute('src')) ?? '')
    }
  }
  expect(seen.length).toBeGreaterThan(0)
  for (const picture of seen) expect((await neighbour.request.get(picture, { maxRetries: RETRIES })).status()).toBe(404)
})

test('the invoices open as PDF, and not for a neighbour', async () => {
  await phone.goto('/our-tanks/invoices')
  const invoice = (await phone.locator('a[href^="/api/invoices/"]').first().getAttribute('href')) ?? ''
  const answer = await phone.request.get(invoice, { maxRetries: RETRIES })
  expect(answer.status()).toBe(200)
  expect((await answer.body()).subarray(0, 5).toString()).toBe('%PDF-') // ISO 32000-1, 7.5.2
  expect((await neighbour.request.get(invoice, { maxRetries: RETRIES })).status()).toBe(404)
})

test('a client asks for a visit and finds their words again; the owner reads them on Today', async () => {
  const words = `The light flickers in the evening, says phone ${process.pid}`
  await phone.goto((await tanksOf(phone))[0] ?? '')
  await phone.getByRole('button', { name: 'Ask for a visit' }).click()
  await phone.getByRole('alert').first().waitFor() // nothing was written yet
  await phone.getByLabel('What have you noticed?').fill(words)
  await phone.getByRole('button', { name: 'Ask for a visit' }).click()
  await phone.getByText('We have your words and will answer').waitFor()
  expect(await phone.getByText(`“${words}”`).isVisible()).toBe(true)
  const owner = await openAs(browser, 'owner')
  await owner.goto('/today')
  expect(await owner.getByText(words).count()).toBe(1)
})

test('the phone had nothing to complain about', () => expect(complaints).toEqual([]))
