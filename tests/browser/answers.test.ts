import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, inject, test } from 'vitest'
import { openBrowser, openPage } from './open-browser'

let browser: Browser
beforeAll(async () => {
  browser = await openBrowser()
})
afterAll(() => browser?.close())

test('a visitor who is not signed in is led to the sign-in, and the browser has nothing to complain about', async () => {
  const page = await openPage(browser)
  const complaints: string[] = []
  page.on('pageerror', (error) => complaints.push(error.message))
  page.on(
    'console',
    (message) => message.type() === 'error' && complaints.push(`${message.text()} ${message.location().url}`),
  )
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
