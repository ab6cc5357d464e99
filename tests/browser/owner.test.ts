import { spawnSync } from 'node:child_process'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { openBrowser, openPage } from './open-browser'
import { openAs, RETRIES } from './people'
import { watchPage } from './watch-page'

const hasPdfReader = spawnSync('pdftotext', ['-v']).error === undefined

let browser: Browser
let desk: Page
let complaints: string[]

beforeAll(async () => {
  browser = await openBrowser()
  desk = await openAs(browser, 'owner')
  complaints = watchPage(desk).complaints
})
afterAll(() => browser?.close())

const pressed = (name: string | RegExp) => desk.getByRole('button', { name }).click()
const opened = (summary: string) => desk.locator('summary', { hasText: summary }).first().click()
const words = async (selector: string) => (await desk.locator(selector).first().textContent())?.trim() ?? ''

test('a client’s request on Today becomes a visit in the plan', async () => {
  await desk.goto('/today')
  const request = desk.locator('a[href^="/plan/book?request="]').first()
  const address = (await request.getAttribute('href')) ?? ''
  await request.click()
  const what = `Come and look, says desk ${process.pid}`
  await desk.getByLabel('Promised from').fill('09:00')
  await desk.getByLabel('Promised until').fill('08:00') // before it begins
  await desk.getByLabel('What for').fill(what)
  await pressed('Book it')
  await desk.getByRole('alert').first().waitFor()
  expect(await desk.getByLabel('What for').inputValue()).toBe(what)
  expect(await desk.getByLabel('Promised from').inputValue()).toBe('09:00')
  await desk.getByLabel('Promised until').fill('11:00')
  await pressed('Book it')
  await desk.waitForURL(/said=booked/)
  await desk.goto('/today')
  expect(await desk.locator(`a[href="${address}"]`).count()).toBe(0)
})

test('work due says why: a sentence, lanes, and the visits behind it', async () => {
  await desk.goto('/work-due')
  await desk.locator('a.row-link').first().click()
  await desk.getByRole('heading', { name: 'The visits behind it' }).waitFor()
  expect((await words('.why')).length).toBeGreaterThan(40)
  expect(await desk.locator('svg.lane-track').count()).toBeGreaterThan(0)
  const visit = desk.locator('a[href^="/visits/"]:has-text("open the visit")').first()
  await visit.click()
  await desk.waitForURL(/\/visits\/[0-9a-f-]{36}$/)
  expect(await desk.locator('h1').count()).toBe(1)
})

test('a tank’s lanes are a picture, a stop of the keyboard each, and a table', async () => {
  await desk.goto('/tanks')
  await desk.locator('a.row-link[href^="/tanks/"]').first().click()
  const lanes = desk.getByRole('region', { name: 'Fault history and forecast' })
  await lanes.waitFor()
  const tracks = lanes.locator('> figure svg.lane-track')
  const count = await tracks.count()
  expect(count).toBeGreaterThan(3)
  await tracks.first().focus()
  expect(await tracks.first().evaluate((track) => track === document.activeElement)).toBe(true)
  expect((await tracks.first().locator('desc').textContent())?.length).toBeGreaterThan(10)
  expect(await lanes.locator('> figure table tbody tr').count()).toBeGreaterThan(0)
})

describe('money', () => {
  let number: string
  let total: string

  test('drafts are made of the unbilled work, and one is issued after a second look', async () => {
    await desk.goto('/money')
    await pressed('Make drafts')
    await desk.getByText(/drafts? (was|were) made|Nothing was left to bill/).waitFor()
    await desk.locator('#drafts tr', { hasText: 'Ready to issue' }).locator('a.row-link').first().click()
    await desk.getByText('It has no number yet').waitFor()
    total = /([£€$][\d,.]+\d)/.exec(await words('.page-head-sub'))?.[1] ?? ''
    expect(total).not.toBe('')
    await opened('Issue it')
    await pressed('Yes, issue this invoice')
    await desk.getByRole('heading', { level: 1, name: /^Invoice / }).waitFor()
    number = (await words('h1')).replace('Invoice ', '')
    expect(number).toMatch(/\d/)
    expect(await words('.page-head-sub')).toContain(total)
    // Frozen: nothing that could change it is left on the page.
    expect(await desk.getByRole('button', { name: 'Save the draft' }).count()).toBe(0)
  })

  test('its PDF is downloaded and says the number and the total', async () => {
    const href = (await desk.getByRole('link', { name: 'PDF to send' }).getAttribute('href')) ?? ''
    const answer = await desk.request.get(href, { maxRetries: RETRIES })
    expect(answer.headers()['content-type']).toBe('application/pdf')
    const pdf = await answer.body()
    expect(pdf.subarray(0, 5).toString()).toBe('%PDF-') // ISO 32000-1, 7.5.2
    if (!hasPdfReader) return console.warn('pdftotext is not installed: the words of the PDF were not read')
    const text = spawnSync('pdftotext', ['-layout', '-', '-'], { input: pdf, encoding: 'utf8' }).stdout
    expect(text).toContain(number)
    expect(text).toMatch(new RegExp(`(Total|Due)[^\\n]*\\s${total.replace(/[.$]/g, '\\$&')}\\s`))
  })
})

describe('old records', () => {
  const tank = `Foyer ${process.pid}`
  const client = `Plover Steps Library ${process.pid}`
  const csv = (name: string, lines: string[]) => ({
    name,
    mimeType: 'text/csv',
    buffer: Buffer.from(`${lines.join('\n')}\n`),
  })
  const files = [
    csv('clients.csv', ['name;email;address', `${client};hello@plover.example;3 Plover Steps, Port Ellery`]),
    csv('tanks.csv', ['client;name;kind;volume', `${client};${tank};reef;450 L`]),
    csv('equipment.csv', ['tank;equipment;installed', `${tank};heater;2023-08-31`]),
    csv('visits.csv', [
      'date;technician;tank;kind;minutes;equipment;looked_at;as_found',
      `2024-03-28;Priya;${tank};routine;45;heater;reads off by more than 1 C;ok`,
      `2024-04-31;Priya;${tank};routine;45;heater;reads off by more than 1 C;ok`,
      `2024-05-30;Priya;${tank};routine;40;heater;reads off by more than 1 C;ok`,
    ]),
  ]

  test('a look first: the wrong line is named, and nothing is kept', async () => {
    await desk.goto('/imports/new')
    await desk.getByLabel('CSV files').setInputFiles(files)
    const wrong = desk.getByRole('region', { name: 'One line is left out' })
    await wrong.or(desk.getByRole('region', { name: '1 line is left out' })).waitFor()
    // There is no 31 April; it stands in the third line of the file.
    expect(await desk.locator('tr', { hasText: '2024-04-31' }).locator('td').first().textContent()).toContain('3')
    const other = await desk.context().newPage()
    await other.goto(`/tanks?q=${encodeURIComponent(tank)}`)
    expect(await other.locator('a.row-link').count()).toBe(0)
    await other.close()
  })

  test('brought in, the tank is there with its past; taken back, it is gone', async () => {
    await pressed('Bring them in')
    await desk.waitForURL(/\/imports\/[0-9a-f-]{36}$/)
    const report = desk.url()
    await desk.goto(`/tanks?q=${encodeURIComponent(tank)}`)
    await desk.locator('a.row-link').first().click()
    await desk.getByRole('heading', { level: 1, name: new RegExp(tank) }).waitFor()
    expect(await desk.locator('main').textContent()).toContain('30 May 2024')
    await desk.goto(report)
    await opened('Take it back')
    await pressed('Yes, take it back')
    await desk.getByText('none of it shows anywhere').waitFor()
    await desk.goto(`/tanks?q=${encodeURIComponent(tank)}`)
    expect(await desk.locator('a.row-link').count()).toBe(0)
  })
})

test('somebody is invited: the link is shown once and opens the door to this business', async () => {
  await desk.goto('/people/new')
  await desk.getByLabel('Name').fill(`Wren Oakley ${process.pid}`)
  await pressed('Add this person')
  await desk.getByLabel('E-mail address they will sign in with').fill(`wren${process.pid}@harbourlane.example`)
  await desk.getByLabel('They work here').check()
  await desk.getByRole('checkbox', { name: 'Technician' }).check()
  await pressed('Make an invitation link')
  const link = await words('output code')
  expect(link).toMatch(/\/invitation\/\S{20,}$/)
  await desk.reload()
  expect(await desk.locator('output code').count()).toBe(0)
  const invited = await openPage(browser)
  await invited.goto(new URL(link).pathname)
  expect(await invited.locator('h1').textContent()).toBe('Join Harbour Lane Aquarium Care')
})

test('taking over a tank: whatever is wrong, nothing typed is lost', async () => {
  await desk.goto('/tanks/new')
  await desk.getByLabel('What is it called there?').fill('Stair hall')
  await desk.getByLabel('True water volume').fill('a good deal')
  await desk.getByLabel('Animals that sting, bite or poison').fill('Lionfish, left cave')
  await pressed('Take on this tank')
  await desk.getByRole('alert').first().waitFor()
  expect(await desk.getByLabel('What is it called there?').inputValue()).toBe('Stair hall')
  expect(await desk.getByLabel('True water volume').inputValue()).toBe('a good deal')
  expect(await desk.getByLabel('Animals that sting, bite or poison').inputValue()).toBe('Lionfish, left cave')
})

test('the browser had nothing to complain about', () => expect(complaints).toEqual([]))
