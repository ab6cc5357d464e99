import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, inject, test } from 'vitest'
import { openBrowser, openPage } from './open-browser'
import { loginsOf } from './people'
import { watchPage } from './watch-page'

let browser: Browser
beforeAll(async () => {
  browser = await openBrowser()
})
afterAll(() => browser?.close())

test('a visitor who is not signed in is led to the sign-in, and the browser has nothing to complain about', async () => {
  const page = await openPage(browser)
  const { complaints } = watchPage(page)
  const response = await page.goto('/')
  expect(response?.status()).toBe(200)
  expect(new URL(page.url()).origin).toBe(inject('site').address)
  expect(await page.locator('input[type=password]').count()).toBe(1)
  expect(complaints).toEqual([])
})

test('another web site may not frame the screens', async () => {
  // OWASP Clickjacking Defense Cheat Sheet: frame-ancestors in the content security policy.
  const response = await fetch(`${inject('site').address}/`)
  expect(response.headers.get('content-security-policy')).toMatch(/frame-ancestors '(none|self)'/)
})

test('the keyboard alone signs in, and one always sees where one is (WCAG 2.2, 2.1.1 and 2.4.7)', async () => {
  const page = await openPage(browser)
  const [owner] = loginsOf('owner')
  await page.goto('/sign-in')
  await tabTo(page, 'email')
  await page.keyboard.type(owner?.email ?? '')
  await page.keyboard.press('Tab')
  expect(await focused(page)).toMatchObject({ name: 'password', isSeen: true })
  await page.keyboard.type('not the password')
  await page.keyboard.press('Enter')
  await page.getByText('do not belong together').waitFor()
  expect(await page.getByLabel('E-mail address').inputValue()).toBe(owner?.email)
  await page.getByLabel('Password').focus()
  await page.keyboard.press('Control+A')
  await page.keyboard.type(owner?.password ?? '')
  await page.keyboard.press('Tab')
  expect(await focused(page)).toMatchObject({ text: 'Sign in', isSeen: true })
  await page.keyboard.press('Enter')
  await page.waitForURL(/\/today$/)
  // The first stop on the page behind it leads past the bar.
  await page.keyboard.press('Tab')
  expect(await focused(page)).toMatchObject({ text: 'Skip to the page', isSeen: true })
})

/** Presses Tab until the field of this name has the focus. */
async function tabTo(page: Page, name: string): Promise<void> {
  for (let presses = 0; presses < 10; presses++) {
    await page.keyboard.press('Tab')
    const now = await focused(page)
    expect(now.isSeen).toBe(true)
    if (now.name === name) return
  }
  throw new Error(`Ten presses of Tab do not reach ${name}.`)
}

/** What has the focus, and whether an outline says so. */
function focused(page: Page): Promise<{ name: string | null; text: string; isSeen: boolean }> {
  return page.evaluate(() => {
    const element = document.activeElement ?? document.body
    const { outlineStyle, outlineWidth } = getComputedStyle(element)
    const isSeen = outlineStyle !== 'none' && Number.parseFloat(outlineWidth) >= 1
    return { name: element.getAttribute('name'), text: element.textContent?.trim() ?? '', isSeen }
  })
}
