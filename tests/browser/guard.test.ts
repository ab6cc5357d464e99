import { once } from 'node:events'
import { request as ask, type IncomingHttpHeaders, type IncomingMessage } from 'node:http'
import { connect } from 'node:net'
import { text } from 'node:stream/consumers'
import pg from 'pg'
import type { Browser, BrowserContext } from 'playwright-core'
import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { MOST_PICTURE_BYTES } from '@/lib/office/photos/schema'
import { askDemo } from './ask-demo'
import { openBrowser, openPage } from './open-browser'
import { loginsOf, openAs } from './people'

let browser: Browser
let owner: BrowserContext
let cookie: string
beforeAll(async () => {
  browser = await openBrowser()
  owner = (await openAs(browser, 'owner')).context()
  cookie = await cookieOf(owner)
})
afterAll(() => browser?.close())

async function cookieOf(context: BrowserContext): Promise<string> {
  return (await context.cookies()).map(({ name, value }) => `${name}=${value}`).join('; ')
}

type Sent = { method?: string; headers?: Record<string, string>; body?: Buffer | string }
type Answer = { status: number; headers: IncomingHttpHeaders; body: string }

/** One request over a plain socket: no browser, no cookie but the one given. */
async function send(path: string, { method = 'GET', headers = {}, body }: Sent = {}): Promise<Answer> {
  const length: Record<string, string> = body ? { 'content-length': String(Buffer.byteLength(body)) } : {}
  const response = await new Promise<IncomingMessage>((resolve, reject) => {
    const sent = ask(new URL(path, inject('site').address), { method, headers: { ...headers, ...length } }, resolve)
    sent.once('error', reject)
    sent.end(body)
  })
  return { status: response.statusCode ?? 0, headers: response.headers, body: await text(response) }
}

describe('headers', () => {
  test('of pages, refusals, files of the program and answers for machines', async () => {
    const page = await send('/today', { headers: { cookie } })
    const asset = /\/_next\/static\/[^"]+\.js/.exec(page.body)?.[0]
    if (!asset) throw new Error('the page names no script')
    const answers = [page, await send(asset), await send('/sign-in'), await send('/_next/static/none.js')]
    answers.push(
      await send('/nowhere'),
      await send('/api/photos/x'),
      await send('/api/auth/session'),
      await send('/icon.svg'),
    )
    for (const { headers } of answers) {
      expect(headers).toMatchObject({ 'x-content-type-options': 'nosniff', 'x-frame-options': 'DENY' })
      expect(headers['content-security-policy']).toMatch(/base-uri 'none'.*frame-ancestors 'none'/)
      expect(headers['x-powered-by']).toBeUndefined()
    }
    expect(answers.map(({ status }) => status)).toEqual([200, 200, 200, 404, 404, 404, 404, 200])
    expect(page.headers['content-security-policy']).toMatch(/script-src 'self' 'nonce-[^']{20,}' 'strict-dynamic'/)
    expect(page.headers['cache-control']).toMatch(/private.*no-store|no-store.*private/)
    expect(answers[1]?.headers['cache-control']).toMatch(/immutable/)
  })
})

describe('a session', () => {
  test('signed out is over, for whoever kept its cookie too; there is no address that would renew it', async () => {
    const page = await openAs(browser, 'accountant')
    const kept = await cookieOf(page.context())
    const look = async () => (await send('/books', { headers: { cookie: kept } })).status
    expect(await look()).toBe(200)
    for (const path of ['/api/auth/session', '/api/auth/csrf', '/api/auth/callback/credentials', '/api/auth/signin'])
      expect([path, (await send(path, { headers: { cookie: kept } })).status]).toEqual([path, 404])
    const [answer] = await Promise.all([
      page.waitForResponse((response) => response.request().method() === 'POST'),
      page.getByRole('button', { name: 'Sign out' }).first().click(),
    ])
    await page.waitForURL(/\/sign-in$/)
    expect((await answer.allHeaders())['clear-site-data']).toBe('"cache", "cookies"')
    expect(await look()).toBe(307)
    expect(await page.context().cookies()).toEqual([])
    await page.context().close()
  })

  test('is listed on My account and ended from another device', async () => {
    const phone = await openAs(browser, 'technician')
    const desk = await openAs(browser, 'technician')
    await desk.goto('/account')
    const rows = desk.getByRole('table', { name: 'Where you are signed in' }).getByRole('row')
    expect(await rows.filter({ hasText: 'this device' }).count()).toBe(1)
    const before = await rows.count()
    // The newest besides this one is the phone's.
    await rows.nth(2).getByRole('button').click()
    await expect.poll(() => rows.count()).toBe(before - 1)
    await phone.goto('/route')
    expect(new URL(phone.url()).pathname).toBe('/sign-in')
    await Promise.all([phone.context().close(), desk.context().close()])
  })

  test('that is missing leads to the sign-in and back to the same page, and nowhere else', async () => {
    const page = await openPage(browser)
    await page.goto('/tanks?search=reef')
    expect(page.url()).toContain('/sign-in?back=%2Ftanks%3Fsearch%3Dreef')
    const [login] = loginsOf('owner')
    if (!login) throw new Error('no owner')
    await page.getByLabel('E-mail address').fill(login.email)
    await page.getByLabel('Password').fill(login.password)
    await page.getByRole('button', { name: 'Sign in' }).click()
    await page.waitForURL(/\/tanks\?search=reef$/)
    for (const back of [
      'https://evil.example/',
      '//evil.example',
      '/\\evil.example',
      '/%09/evil.example',
      'javascript:alert(1)',
    ]) {
      const { status, headers } = await send(`/sign-in?back=${encodeURIComponent(back)}`, {
        headers: { cookie: await cookieOf(page.context()) },
      })
      expect([back, status, new URL(headers.location ?? '', 'http://here.example').host]).toEqual([
        back,
        307,
        'here.example',
      ])
    }
    await page.context().close()
  })
})

describe('connections', () => {
  test('one that wants to become something else is answered, and ends with whoever asked', async () => {
    const { hostname, port } = new URL(inject('site').address)
    for (let n = 0; n < 20; n++) {
      const socket = connect(Number(port), hostname)
      socket.write(`GET /nothing HTTP/1.1\r\nHost: ${hostname}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n\r\n`)
      const [answer] = (await once(socket, 'data')) as [Buffer]
      expect(answer.toString()).toMatch(/^HTTP\/1\.1 \d{3}/)
      // A connection that the server leaves open would time out here.
      const closed = once(socket, 'close')
      socket.resume().end()
      await closed
    }
  })

  test('under a name that is not ours nothing is told', async () => {
    const answer = await send('/sign-in', { headers: { host: 'evil.example' } })
    expect([answer.status, /Tankround does not answer under this name/.test(answer.body)]).toEqual([421, true])
  })
})

describe('guessing', () => {
  // The other tests sign in from this address too.
  afterAll(async () => {
    const owner = new pg.Client({ connectionString: inject('site').ownerUrl })
    await owner.connect()
    await owner.query('DELETE FROM identity.rate_limit')
    await owner.end()
  })

  test('sixty tries, each under another forwarded address: the limits hold', async () => {
    // The form as a browser without scripts posts it: with Next's own hidden fields.
    const form = (await send('/sign-in')).body
    const hidden = [...form.matchAll(/<input type="hidden" name="([^"]+)"(?: value="([^"]*)")?/g)]
    const boundary = 'x'.repeat(20)
    const part = (name: string, value: string) =>
      `--${boundary}\r\nContent-Disposition: form-data; name="${name}"\r\n\r\n${value}\r\n`
    const plain = (value: string) => value.replaceAll('&quot;', '"').replaceAll('&amp;', '&')
    const parts = hidden.map(([, name = '', value = '']) => part(name, plain(value))).join('')
    let looked = 0
    let delayed = 0
    for (let n = 0; n < 60; n++) {
      const body = `${parts}${part('email', `guessed${n % 2}@demo.example`)}${part('password', `guess number ${n}`)}--${boundary}--`
      const answer = await send('/sign-in', {
        method: 'POST',
        headers: {
          'content-type': `multipart/form-data; boundary=${boundary}`,
          origin: inject('site').address,
          'x-forwarded-for': `198.51.100.${n}`,
          'x-real-ip': `198.51.100.${n}`,
          'x-tankround-address': `198.51.100.${n}`,
        },
        body,
      })
      if (/do not belong together/.test(answer.body)) looked++
      if (/Too many tries/.test(answer.body)) delayed++
    }
    expect({ looked: looked <= 10 && looked > 0, all: looked + delayed }).toEqual({ looked: true, all: 60 })
  })

  test('a body of 8 MB from somebody who is not signed in is refused before it is read', async () => {
    const answer = await send('/sign-in', { method: 'POST', body: Buffer.alloc(8 * 1024 * 1024, 'a') })
    expect(answer.status).toBe(413)
  })
})

describe('files', () => {
  /** A JPEG of exactly so many bytes: a small picture, and after its end what cameras also write there. */
  async function pictureOf(bytes: number): Promise<Buffer> {
    const jpeg = await sharp({ create: { width: 900, height: 600, channels: 3, background: '#2a6478' } })
      .jpeg()
      .toBuffer()
    return Buffer.concat([jpeg, Buffer.alloc(bytes - jpeg.length)])
  }

  function formOf(fields: Record<string, string>, files: [string, string, Uint8Array][]) {
    const boundary = 'y'.repeat(30)
    const head = (rest: string) => Buffer.from(`--${boundary}\r\nContent-Disposition: form-data; ${rest}\r\n\r\n`)
    const parts: Uint8Array[] = Object.entries(fields).flatMap(([name, value]) => [
      head(`name="${name}"`),
      Buffer.from(`${value}\r\n`),
    ])
    for (const [name, fileName, bytes] of files)
      parts.push(
        head(`name="${name}"; filename="${fileName}"\r\nContent-Type: application/octet-stream`),
        bytes,
        Buffer.from('\r\n'),
      )
    parts.push(Buffer.from(`--${boundary}--\r\n`))
    return { type: `multipart/form-data; boundary=${boundary}`, body: Buffer.concat(parts) }
  }

  async function post(path: string, form: { type: string; body: Buffer }, headers: Record<string, string> = {}) {
    const sent = { 'content-type': form.type, cookie, origin: inject('site').address, ...headers }
    const answer = await send(path, { method: 'POST', headers: sent, body: form.body })
    return { status: answer.status, ...(JSON.parse(answer.body) as { ok: boolean; reason?: string; words?: string }) }
  }

  /** The newest visit of the owner's business that was done. */
  async function aVisit(): Promise<{ businessId: string; visitId: string }> {
    const rows = await askDemo<{ businessId: string; visitId: string }>(
      `SELECT business_id AS "businessId", id AS "visitId" FROM visit
       WHERE state = 'done' ORDER BY local_date DESC, id LIMIT 1`,
    )
    if (!rows[0]) throw new Error('the demo has no visit that was done')
    return rows[0]
  }

  async function photoForm(picture: Buffer, over: Record<string, string> = {}) {
    const fields = {
      photoId: newId(),
      ...(await aVisit()),
      caption: '',
      forClient: 'false',
      deviceId: 'desk',
      deviceSeq: '0',
    }
    return formOf({ ...fields, takenAt: '2026-05-04T09:00:00Z', ...over }, [['file', 'a.jpg', picture]])
  }

  test('a picture of 15 MB is kept, one of a byte more is refused in words', async () => {
    expect(await post('/api/photos', await photoForm(await pictureOf(MOST_PICTURE_BYTES)))).toMatchObject({
      status: 200,
      ok: true,
    })
    expect(await post('/api/photos', await photoForm(await pictureOf(MOST_PICTURE_BYTES + 1)))).toMatchObject({
      status: 413,
      words: 'This picture is larger than 15 MB. Send a smaller one.',
    })
    expect(await post('/api/photos', await photoForm(await pictureOf(MOST_PICTURE_BYTES + 2_000_000)))).toMatchObject({
      status: 413,
      words: 'This picture is larger than 15 MB. Send a smaller one.',
    })
  })

  test('odd origins, numbers and forms are refusals in words, and a lost session says so', async () => {
    const picture = await pictureOf(50_000)
    const form = await photoForm(picture)
    for (const origin of ['null', 'https://evil.example', 'nonsense', 'http://localhost'])
      expect([origin, (await post('/api/photos', form, { origin })).status]).toEqual([origin, 403])
    expect(await post('/api/photos', form, { 'sec-fetch-site': 'cross-site' })).toMatchObject({ status: 403 })
    for (const deviceSeq of ['99999999999', '-1', '1e9x', ''])
      expect((await post('/api/photos', await photoForm(picture, { deviceSeq }))).status).toSatisfy(
        (status) => status === 422 || status === 200,
      )
    expect(await post('/api/photos', await photoForm(picture, { deviceSeq: '99999999999' }))).toMatchObject({
      status: 422,
    })
    expect(await post('/api/photos', { type: 'text/plain', body: Buffer.from('x') })).toMatchObject({ status: 422 })
    expect(await post('/api/photos', form, { cookie: '' })).toMatchObject({ status: 401, reason: 'signed-out' })
    expect(await post('/api/photos', form, { cookie: 'tankround-session=forged' })).toMatchObject({
      status: 401,
      reason: 'signed-out',
    })
  })

  test('old records of 19 MB are looked at, a little more is refused in words', async () => {
    const { businessId } = await aVisit()
    const fields = { businessId, commandId: newId(), options: '{}', mapping: '{}' }
    // Rows with a cell too many: each is named as wrong, and the answer still comes.
    const row = `${'Nobody,1 Nowhere Lane,'.padEnd(99, 'x')}\n`
    const head = 'Name,Address\n'
    const records = (bytes: number) => Buffer.from(head + row.repeat(Math.ceil(bytes / row.length))).subarray(0, bytes)
    const whole = await post('/api/imports/look', formOf(fields, [['files', 'clients.csv', records(19_000_000)]]))
    expect(whole).toMatchObject({ status: 200, ok: true })
    for (const bytes of [19_000_001, 21_000_000])
      expect(await post('/api/imports/look', formOf(fields, [['files', 'clients.csv', records(bytes)]]))).toMatchObject(
        {
          ok: false,
          words: 'These files are too large: at most 19 MB go at once. Bring visits year by year.',
        },
      )
  })

  test('a form of 1 MB by an action is refused by the front, and no more', async () => {
    const answer = await send('/today', { method: 'POST', headers: { cookie }, body: Buffer.alloc(1024 * 1024 + 1) })
    expect(answer.status).toBe(413)
  })
})
