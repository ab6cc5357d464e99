import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { bookForTechnician, stopOnRoute } from './book-visit'
import { openBrowser } from './open-browser'
import { openAs } from './people'
import { watchPage } from './watch-page'

/** The wheel of a skimmer's pump: opened and brushed, which also takes the film off the rotor. Slugs of the trade's catalogue. */
const TASK = 'protein-skimmer/clear-wheel'
const MODE = 'protein-skimmer/impeller-film'
const WHAT_FOR = `The skimmer foams less every day, says desk ${process.pid}`

let browser: Browser
let owner: Page
let phone: Page
let complaints: string[]
/** Of the piece of work this story is about. */
let why = ''
let dueBefore: string
let day: string
let visit: string

beforeAll(async () => {
  browser = await openBrowser()
  owner = await openAs(browser, 'owner')
  phone = await openAs(browser, 'technician')
  complaints = watchPage(phone).complaints
})
afterAll(() => browser?.close())

const step = (path: string) => phone.goto(`${visit}${path}`)
const pressed = (name: string | RegExp) => phone.getByRole('button', { name }).click()

describe('a visit on the phone, one step after the other', () => {
  test('the owner sees skimmer work due and books it for today with the technician', async () => {
    const link = owner.locator(`a[href^="/work-due/"][href$="/${encodeURIComponent(TASK)}"]`).first()
    for (let page = 1; !why; page++) {
      await owner.goto(`/work-due?within=all&page=${page}`)
      expect(await owner.locator('tbody tr').count(), `page ${page} has no more work`).toBeGreaterThan(0)
      if ((await link.count()) > 0) why = (await link.getAttribute('href')) ?? ''
    }
    await owner.goto(why)
    dueBefore = (await owner.locator('.why').first().textContent()) ?? ''
    expect(dueBefore).toMatch(/Due .*\d|Look|needed/)
    const log = owner.getByRole('link', { name: 'Log a visit' })
    const tankId = new URL((await log.getAttribute('href')) ?? '', 'http://x').searchParams.get('tank') ?? ''
    day = (await bookForTechnician(owner, tankId, WHAT_FOR)).day
    expect(await owner.getByText('The visit is booked.').isVisible()).toBe(true)
  })

  test('it stands on the route; the technician arrives', async () => {
    visit = await stopOnRoute(phone, day, WHAT_FOR)
    await phone.locator(`a[href="${visit}"]`).first().click()
    await phone.waitForURL(new RegExp(`${visit}$`))
    expect(await phone.getByRole('heading', { name: 'Before you go in' }).isVisible()).toBe(true)
    await pressed('I am here')
    await phone.waitForURL(/\/look$/)
  })

  test('look: film found on the rotor, opened; nothing has an answer that nobody gave', async () => {
    const device = why.split('/')[2]
    const radio = (field: string, value: string) =>
      phone.locator(`input[name="look|${device}|${MODE}|${field}"][value="${value}"]`)
    if ((await radio('asFound', 'needs_it').count()) === 0) {
      await phone.getByText('I suspect something').click()
      await phone.getByLabel('What', { exact: true }).first().selectOption(`${device}|${MODE}`)
      await pressed('Ask about it above')
    }
    await radio('asFound', 'needs_it').first().waitFor({ state: 'attached' })
    expect(await phone.locator('input[type=radio]:checked').count()).toBe(0)
    await radio('asFound', 'needs_it').check({ force: true })
    await radio('depth', 'opened').check({ force: true })
    await pressed('Record these looks')
    await phone.getByText(/Recorded: needs it, opened/).waitFor()
    await phone.getByRole('button', { name: /Everything else running/ }).click()
    await phone.waitForURL(/\/test$/)
  })

  test('test: a wrong figure is refused in words and stays, a right one is judged', async () => {
    const reading = (quantity: string) => phone.locator(`input[name="value|${quantity}"]`)
    await reading('pH').fill('acid')
    await reading('temperature').fill('25.4')
    await pressed('Record the readings')
    await phone.getByRole('alert').first().waitFor()
    expect(await reading('pH').inputValue()).toBe('acid')
    expect(await reading('temperature').inputValue()).toBe('25.4')
    await reading('pH').fill('8.1')
    await pressed('Record the readings')
    const measured = phone.locator('section', { has: phone.getByRole('heading', { name: 'Measured', exact: true }) })
    await measured.getByText(/^pH 8\.1 is/).waitFor()
    expect(await measured.locator('b', { hasText: '25.4' }).isVisible()).toBe(true)
  })

  test('find the cause: from the sign on, one tap an answer; a reload keeps them; not found is an honest end', async () => {
    await step('/look')
    await phone.getByRole('link', { name: 'Something is wrong: find the cause' }).click()
    await phone
      .getByRole('link', { name: /cloudy/i })
      .first()
      .click()
    await phone.waitForURL(/sign=cloudy-water/)
    const question =
      (await phone.locator('.cause-answers').locator('xpath=..').locator('h2, h3').first().textContent()) ?? ''
    await phone.locator('.cause-answers button').first().click()
    await phone.waitForURL(/moves=/)
    await phone.reload()
    expect(await phone.getByRole('heading', { name: question, exact: true }).count()).toBe(0)
    await phone.getByRole('button', { name: 'Undo the last answer' }).click()
    await phone.getByRole('heading', { name: question, exact: true }).waitFor()
    await pressed('Not found today')
    await phone.getByRole('heading', { name: 'Not found today' }).waitFor()
    expect(await phone.getByLabel('Follow-up').inputValue()).toMatch(/look again$/)
    await pressed('Record it')
    await phone.waitForURL(/\/work$/)
    await step('')
    expect(
      await phone
        .getByText(/cloudy.*: Not found today/i)
        .first()
        .isVisible(),
    ).toBe(true)
  })

  test('work: something is switched off; the task with its caution, cause and remedy, and why it was done', async () => {
    await step('/work')
    await phone.getByText('What did you switch off?').click()
    expect(await phone.locator('details[open] .caution').count()).toBeGreaterThan(0)
    await phone.getByRole('checkbox', { name: 'Protein skimmer', exact: true }).check()
    await pressed('These are off')
    await phone.getByText('Off now: Protein skimmer').waitFor()

    const device = why.split('/')[2]
    const task = phone.locator('details.visit-task', {
      has: phone.locator(`input[name="task"][value="${TASK}"]`),
    })
    const mine = task.filter({ has: phone.locator(`input[name="equipmentId"][value="${device}"]`) })
    await mine.locator('> summary').click()
    expect(await mine.locator('.caution').count()).toBeGreaterThan(0)
    const look = (field: string, value = '') =>
      `input[name="look|${device}|${MODE}|${field}"]${value && `[value="${value}"]`}`
    await mine
      .locator('details', { has: phone.locator(look('cause')) })
      .locator('> summary')
      .click()
    await mine.locator(look('asFound', 'needs_it')).check({ force: true })
    await mine.locator(look('depth', 'opened')).check({ force: true })
    await mine.locator(look('cause')).fill('Film on magnet and well')
    await mine.locator(look('remedy')).fill('Brushed and rinsed')
    await mine.locator(look('asLeft')).fill('Runs at full foam')
    await mine.locator('input[name="reason"][value="found"]').check({ force: true })
    await mine.getByRole('button', { name: 'Done' }).click()
    await mine.getByText('done at this visit').waitFor()
  })

  test('leave is refused while something is off and the leaving check is open; then it is done', async () => {
    await step('/leave')
    await phone.getByLabel('Minutes at the tank').fill('35')
    await phone.getByLabel('Done', { exact: true }).check({ force: true })
    await pressed(/^Leave$/)
    await phone.getByRole('alert').first().waitFor()
    expect(await phone.getByLabel('Minutes at the tank').inputValue()).toBe('35')
    expect(new URL(phone.url()).pathname).toBe(`${visit}/leave`)

    await pressed('Back on and running')
    await phone.getByRole('button', { name: 'Checked again' }).waitFor()
    for (const check of await phone.locator('input[name="check"]').all()) await check.check()
    await phone.getByLabel('Minutes at the tank').fill('35')
    await phone.getByLabel('I arrived earlier than logged').check()
    await phone.getByLabel('Done', { exact: true }).check({ force: true })
    await pressed(/^Leave$/)
    await phone.waitForURL((url) => url.pathname === visit)
    await phone.getByText('This visit is over: done').waitFor()
    expect(await phone.getByText('35 minutes').first().isVisible()).toBe(true)
    expect(await phone.getByText(/Film on magnet and well; Brushed and rinsed/).isVisible()).toBe(true)
  })

  test('the owner sees another date for this work, and the visit behind it', async () => {
    await owner.goto(why)
    const dueNow = (await owner.locator('.why').first().textContent()) ?? ''
    expect(dueNow).not.toBe(dueBefore)
    const rows = owner.locator('tr', { hasText: 'renewed' })
    expect(await rows.locator(`a[href="${visit}"]`).count()).toBeGreaterThan(0)
  })

  test('the phone had nothing to complain about', () => expect(complaints).toEqual([]))
})
