import { readFileSync } from 'node:fs'
import { parse } from 'csv-parse/sync'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { openBrowser } from './open-browser'
import { openAs, RETRIES } from './people'
import { watchPage } from './watch-page'

let browser: Browser
let desk: Page
let complaints: string[]

beforeAll(async () => {
  browser = await openBrowser()
  desk = await openAs(browser, 'accountant')
  complaints = watchPage(desk).complaints
})
afterAll(() => browser?.close())

/** "£1,234.50" or "−£1.00" in pence. */
function pence(words: string): number {
  const digits = words.replaceAll(/[^\d]/g, '')
  return (/^[−-]/.test(words.trim()) ? -1 : 1) * Number(digits)
}

/** A decimal of the file in pence, by its digits: no floating point. */
function penceOf(decimal: string): number {
  const [, minus, whole, part] = /^(-?)(\d+)(?:\.(\d\d))?$/.exec(decimal) ?? []
  if (whole === undefined) throw new Error(`not an amount: ${decimal}`)
  return (minus ? -1 : 1) * Number(`${whole}${part ?? '00'}`)
}

const sum = (amounts: number[]) => amounts.reduce((total, amount) => total + amount, 0)

test('the file of a period adds up to what the screen says', async () => {
  await desk.goto('/books')
  // Two whole months before the one in which the period ends that the page proposes: what was billed for them was issued in the last of them and on the first of this one.
  const [year = 0, month = 0] = (await desk.getByLabel('To', { exact: true }).inputValue()).split('-').map(Number)
  const from = new Date(Date.UTC(year, month - 3, 1)).toISOString().slice(0, 10)
  await desk.getByLabel('From', { exact: true }).fill(from)
  await desk.getByRole('button', { name: 'Show' }).click()
  await desk.waitForURL(new RegExp(`from=${from}`))
  const [download] = await Promise.all([
    desk.waitForEvent('download'),
    desk.getByRole('link', { name: 'Lines as CSV' }).click(),
  ])
  expect(download.suggestedFilename()).toMatch(new RegExp(`^books-${from}-to-.*\\.csv$`))
  const rows: Record<string, string>[] = parse(readFileSync(await download.path(), 'utf8'), {
    bom: true,
    columns: true,
  })
  const tax = desk.getByRole('region', { name: /^Tax by/ }).locator('tfoot td')
  expect(rows.length).toBeGreaterThan(10)
  expect(sum(rows.map((row) => penceOf(row.net ?? '')))).toBe(pence((await tax.nth(2).textContent()) ?? ''))
  const documents = new Map(rows.map((row) => [row['document number'], row]))
  expect(sum(rows.map((row) => penceOf(row.tax ?? '')))).toBe(pence((await tax.nth(3).textContent()) ?? ''))
  const issued = desk.getByRole('region', { name: 'Issued' })
  const shown = await issued.locator('tbody tr').count()
  const pages = await issued.getByRole('navigation').getAttribute('aria-label')
  expect(Number(/of (\d+)$/.exec(pages ?? '')?.[1] ?? shown)).toBe(documents.size)
})

test('a payment with a wrong figure is refused and stays as typed; a right one is written down', async () => {
  await desk.goto('/money?show=open')
  await desk.locator('#invoices a.row-link[href^="/money/"]').first().click()
  await desk.getByRole('heading', { name: 'Payments' }).waitFor()
  const open = desk.getByRole('region', { name: 'Payments' }).locator('dt:text-is("Outstanding") + dd')
  const before = pence((await open.textContent()) ?? '')
  expect(before).toBeGreaterThan(100)
  const amount = desk.getByLabel('Amount')
  const reference = desk.getByLabel('Reference')
  await amount.fill('twelve')
  await desk.getByLabel('Method', { exact: true }).fill('transfer')
  await reference.fill('STATEMENT 12')
  await desk.getByRole('button', { name: 'Record this payment' }).click()
  await desk.getByRole('alert').first().waitFor()
  expect(await amount.inputValue()).toBe('twelve')
  expect(await reference.inputValue()).toBe('STATEMENT 12')
  await amount.fill('1.00')
  await desk.getByRole('button', { name: 'Record this payment' }).click()
  await desk.getByText('Recorded.').waitFor()
  await expect.poll(async () => pence((await open.textContent()) ?? '')).toBe(before - 100)
  expect(await desk.getByText('STATEMENT 12').isVisible()).toBe(true)
})

test('an accountant finds nothing to change but payments', async () => {
  expect(await desk.getByRole('button', { name: /issue|discard|credit/i }).count()).toBe(0)
  for (const page of ['/today', '/plan', '/people', '/settings', '/imports', '/our-tanks'])
    expect((await desk.request.get(page, { maxRetries: RETRIES })).status()).toBe(404)
})

test('the browser had nothing to complain about', () => expect(complaints).toEqual([]))
