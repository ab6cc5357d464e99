// The first week of somebody who works alone: from the desk to a visit and back, without an address typed by hand.
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { openBrowser, PHONE } from './open-browser'
import { openAs } from './people'

let browser: Browser
beforeAll(async () => {
  browser = await openBrowser()
})
afterAll(async () => {
  await browser?.close()
})

const follow = async (page: Page, name: string | RegExp) => {
  await page.getByRole('link', { name, exact: true }).first().click()
}

test('an owner finds the route of the day from the desk, and the desk from the route', async () => {
  const page = await openAs(browser, 'owner')
  await follow(page, 'Today’s route')
  await page.waitForURL('**/route')
  await follow(page, 'Today')
  await page.waitForURL('**/today')
  await page.context().close()
})

test('on a phone too, through the menu', async () => {
  const page = await openAs(browser, 'owner', { viewport: PHONE })
  await page.getByText('Menu', { exact: true }).click()
  await page.getByLabel('Main menu').getByRole('link', { name: 'Today’s route' }).click()
  await page.waitForURL('**/route')
  await page.context().close()
})

test('the page of a tank books a visit and logs one, each for whoever may', async () => {
  const owner = await openAs(browser, 'owner')
  await owner.goto('/tanks')
  await owner.locator('main table a').first().click()
  await owner.waitForURL(/\/tanks\/[\da-f-]{36}$/)
  const tank = owner.url().split('/').pop() ?? ''
  await follow(owner, 'Book a visit')
  await owner.waitForURL(`**/plan/book?tank=${tank}`)
  await owner.context().close()

  const technician = await openAs(browser, 'technician')
  await technician.goto(`/tanks/${tank}`)
  expect(await technician.getByRole('link', { name: 'Book a visit' }).count()).toBe(0)
  await follow(technician, 'Log a visit')
  await technician.waitForURL(`**/visits/new?tank=${tank}`)
  await technician.getByRole('button', { name: 'I am here' }).waitFor()
  await technician.context().close()
})

test('booking shows tanks to choose from before anything is searched', async () => {
  const page = await openAs(browser, 'owner')
  await page.goto('/plan/book')
  await page.locator('main table a').first().click()
  await page.waitForURL(/\/plan\/book\?tank=/)
  await page.getByRole('button', { name: 'Book it' }).waitFor()
  await page.context().close()
})

test('a planned visit is opened from the plan', async () => {
  const page = await openAs(browser, 'owner')
  await page.goto('/plan')
  await page.locator('main a[href^="/plan/visits/"]').first().click()
  await page.waitForURL(/\/plan\/visits\//)
  await follow(page, 'Open the visit')
  await page.waitForURL(/\/visits\/[\da-f-]{36}$/)
  await page.context().close()
})
