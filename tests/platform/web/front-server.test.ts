import { once } from 'node:events'
import {
  request as ask,
  type IncomingHttpHeaders,
  type IncomingMessage,
  type Server,
  type ServerResponse,
} from 'node:http'
import { get as getOverTls } from 'node:https'
import { type AddressInfo, connect, type Socket } from 'node:net'
import path from 'node:path'
import { text } from 'node:stream/consumers'
import { afterEach, describe, expect, test, vi } from 'vitest'
import { type Certificate, readCertificate } from '@/lib/platform/config/certificate'
import { ownNames, trustedProxies } from '@/lib/platform/web/address'
import { frontServer } from '@/lib/platform/web/front-server'

const servers: Server[] = []
afterEach(() => {
  for (const server of servers.splice(0)) {
    server.close()
    server.closeAllConnections()
  }
})

type Seen = { headers: IncomingHttpHeaders; bytes: number }
type Handle = (request: IncomingMessage, response: ServerResponse) => Promise<void>

/** A front with a program behind it that tells what it was told. */
async function front(
  options: {
    trusted?: string
    isHttps?: boolean
    certificate?: Certificate
    handle?: Handle
    publicAddress?: string
  } = {},
) {
  const seen: Seen[] = []
  const echo: Handle = async (request, response) => {
    let bytes = 0
    for await (const chunk of request) bytes += chunk.length
    seen.push({ headers: { ...request.headers }, bytes })
    if (!response.headersSent) response.writeHead(200).end('done')
  }
  const server = frontServer({
    handle: options.handle ?? echo,
    isTrusted: trustedProxies(options.trusted ?? ''),
    isHttps: options.isHttps ?? false,
    certificate: options.certificate ?? null,
    sessionCookie: 'session',
    isOwnName: options.publicAddress ? ownNames(options.publicAddress) : () => true,
    isSession: async (value) => value === 'x',
    uploads: [
      { path: '/api/photos', mostBytes: 3_000_000, signedOut: 'Sign in again.', tooLarge: 'Too large a picture.' },
    ],
    onError: () => undefined,
  })
  servers.push(server)
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  return { port: (server.address() as AddressInfo).port, seen }
}

type Sent = { path?: string; headers?: Record<string, string>; body?: Buffer; chunked?: boolean; method?: string }

async function send(port: number, { path = '/', headers = {}, body, chunked = false, method = 'POST' }: Sent) {
  const length: Record<string, string> = body && !chunked ? { 'content-length': String(body.length) } : {}
  const sent = ask({ port, host: '127.0.0.1', path, method, headers: { ...headers, ...length } })
  const answered = once(sent, 'response') as Promise<[IncomingMessage]>
  sent.on('error', () => undefined) // a refused body may be cut off
  sent.on('socket', (socket) => socket.setMaxListeners(0).on('error', () => undefined)) // and after the answer is read
  if (body && chunked) for (let at = 0; at < body.length; at += 65_536) sent.write(body.subarray(at, at + 65_536))
  sent.end(chunked ? undefined : body)
  const [response] = await answered
  return { status: response.statusCode, headers: response.headers, body: await text(response) }
}

const SIGNED_IN = { cookie: 'a=1; session=x' }
const MB = 1024 * 1024

describe('what the program is told of the caller', () => {
  const CLAIMS = {
    'x-forwarded-for': '198.51.100.1',
    'x-forwarded-host': 'evil.example',
    'x-forwarded-proto': 'https',
    'x-real-ip': '198.51.100.1',
    'x-tankround-address': '198.51.100.1',
    'x-tankround-path': '/elsewhere',
    'x-middleware-subrequest': 'proxy',
    forwarded: 'for=198.51.100.1',
  }

  test('is the socket’s, not the caller’s claims', async () => {
    const { port, seen } = await front()
    await send(port, { headers: CLAIMS, method: 'GET' })
    const headers: IncomingHttpHeaders = seen[0]?.headers ?? {}
    expect(headers).toMatchObject({
      'x-forwarded-for': '127.0.0.1',
      'x-forwarded-host': `127.0.0.1:${port}`,
      'x-forwarded-proto': 'http',
      'x-tankround-address': '127.0.0.1',
    })
    for (const name of ['x-real-ip', 'forwarded', 'x-middleware-subrequest', 'x-tankround-path'])
      expect([name, headers[name]]).toEqual([name, undefined])
    expect(JSON.stringify(headers)).not.toContain('198.51.100.1')
  })

  test('is a declared proxy’s word', async () => {
    const { port, seen } = await front({ trusted: '127.0.0.1' })
    await send(port, { headers: CLAIMS, method: 'GET' })
    expect(seen[0]?.headers).toMatchObject({
      'x-forwarded-for': '198.51.100.1',
      'x-forwarded-host': 'evil.example',
      'x-forwarded-proto': 'https',
      'x-tankround-address': '198.51.100.1',
    })
  })
})

describe('bodies', () => {
  const cases: [string, Sent, number, number][] = [
    ['signed out, up to 64 kB', {}, 64 * 1024, 200],
    ['signed out, a byte more', {}, 64 * 1024 + 1, 413],
    ['signed in, up to 1 MB', { headers: SIGNED_IN }, MB, 200],
    ['signed in, a byte more', { headers: SIGNED_IN }, MB + 1, 413],
    ['a file, signed in, up to its own limit', { headers: SIGNED_IN, path: '/api/photos?x=1' }, 3_000_000, 200],
    ['a file, a byte more', { headers: SIGNED_IN, path: '/api/photos' }, 3_000_001, 413],
    ['a file, signed out', { path: '/api/photos' }, 100, 401],
    ['another path that begins alike', { headers: SIGNED_IN, path: '/api/photos/1' }, 2 * MB, 413],
  ]
  for (const chunked of [false, true])
    for (const [name, sent, bytes, status] of cases)
      test(`${name}${chunked ? ', its length not told' : ''}`, async () => {
        const { port, seen } = await front()
        const answer = await send(port, { ...sent, body: Buffer.alloc(bytes, 'a'), chunked })
        expect(answer.status).toBe(status)
        if (status === 200) expect(seen[0]?.bytes).toBe(bytes)
        else expect(answer.body).toMatch(/too much|Too large|Sign in/)
        if (status === 413) expect(seen[0]?.bytes ?? 0).toBeLessThan(bytes)
      })

  test('a refusal of a file is an answer for machines, others are words; both carry the headers', async () => {
    const { port } = await front()
    const file = await send(port, { path: '/api/photos', headers: SIGNED_IN, body: Buffer.alloc(3_000_001) })
    expect(JSON.parse(file.body)).toEqual({ ok: false, reason: 'too-large', words: 'Too large a picture.' })
    const form = await send(port, { path: '/sign-in', body: Buffer.alloc(8 * MB) })
    expect(form.body).toBe('This is too much to send at once: at most 64 kB.')
    for (const { headers } of [file, form]) expect(headers['x-content-type-options']).toBe('nosniff')
  })

  test('a connection on which something was refused goes on', async () => {
    const { port, seen } = await front()
    const socket = connect(port, '127.0.0.1').on('error', () => undefined)
    socket.write(`POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 70000\r\n\r\n${'a'.repeat(70_000)}`)
    const answers = readHeads(socket)
    await expect.poll(() => answers.length).toBe(1)
    await new Promise((resolve) => setTimeout(resolve, 5_500)) // longer than the rest of a refused body is waited for
    socket.write('GET / HTTP/1.1\r\nHost: x\r\n\r\n')
    await expect.poll(() => answers).toEqual(['HTTP/1.1 413', 'HTTP/1.1 200'])
    expect(seen).toHaveLength(1)
    socket.destroy()
  })

  test('an address that is no text is refused: broken UTF-8 (RFC 3986, 2.5), or a NUL', async () => {
    const { port, seen } = await front()
    for (const path of ['/tanks/%ff', '/tanks/%00', '/tanks?search=%00', '/%c3%28'])
      expect([path, (await send(port, { path, method: 'GET' })).status]).toEqual([path, 400])
    for (const path of ['/tanks/%C3%A9', '/tanks?search=100%', '/tanks?search=%F0%9F%90%A0'])
      expect([path, (await send(port, { path, method: 'GET' })).status]).toEqual([path, 200])
    expect(seen).toHaveLength(3)
  })

  test('two lengths, or a length and pieces, are refused by Node (RFC 9112, 6.3: request smuggling)', async () => {
    const { port, seen } = await front()
    for (const head of ['Content-Length: 5\r\nContent-Length: 6', 'Content-Length: 5\r\nTransfer-Encoding: chunked']) {
      const socket = connect(port, '127.0.0.1').on('error', () => undefined) // it is closed on us
      socket.write(`POST / HTTP/1.1\r\nHost: x\r\n${head}\r\n\r\nhello`)
      expect(await text(socket)).toMatch(/^HTTP\/1\.1 400/)
    }
    expect(seen).toEqual([])
  })
})

/** The first words of each answer that comes. */
function readHeads(socket: Socket): string[] {
  const heads: string[] = []
  socket.on('data', (chunk) => heads.push(...(String(chunk).match(/HTTP\/1\.1 \d{3}/g) ?? [])))
  return heads
}

describe('headers of answers', () => {
  // OWASP Secure Headers Project, and its HTTP Headers Cheat Sheet (from memory).
  test('what says nothing itself gets all of them; what does keeps its own', async () => {
    const plain = await front()
    const { headers } = await send(plain.port, { method: 'GET' })
    expect(headers).toMatchObject({
      'x-content-type-options': 'nosniff',
      'x-frame-options': 'DENY',
      'referrer-policy': 'same-origin',
      'cross-origin-opener-policy': 'same-origin',
      'cross-origin-resource-policy': 'same-origin',
      'cache-control': 'private, no-store',
    })
    expect(headers['content-security-policy']).toContain("base-uri 'none'")
    expect(headers['strict-transport-security']).toBeUndefined()
    const own = await front({
      isHttps: true,
      handle: async (_request, response) => {
        response.setHeader('cache-control', 'public, max-age=31536000, immutable')
        response.writeHead(200, { 'content-security-policy': "default-src 'none'; sandbox" }).end()
      },
    })
    const answer = await send(own.port, { method: 'GET' })
    expect(answer.headers['content-security-policy']).toBe("default-src 'none'; sandbox")
    expect(answer.headers['cache-control']).toBe('public, max-age=31536000, immutable')
    expect(answer.headers['strict-transport-security']).toBe('max-age=31536000')
  })

  test('an answer that takes the session away clears cache and cookies, and leaves the storage', async () => {
    const { port } = await front({
      handle: async (request, response) => {
        response.setHeader(
          'set-cookie',
          request.url === '/out' ? ['b=1', 'session=; Path=/; Max-Age=0'] : 'session=abc',
        )
        response.writeHead(200).end()
      },
    })
    expect((await send(port, { path: '/out' })).headers['clear-site-data']).toBe('"cache", "cookies"')
    expect((await send(port, { path: '/in' })).headers['clear-site-data']).toBeUndefined()
  })

  test('a fault behind it is an answer', async () => {
    const { port } = await front({ handle: () => Promise.reject(new Error('bug')) })
    expect(await send(port, { method: 'GET' })).toMatchObject({ status: 500, body: 'Something went wrong.' })
  })
})

describe('a form that cannot be read', () => {
  const part = '--b\r\nContent-Disposition: form-data; name="a"\r\n\r\n1\r\n'
  const multipart = { ...SIGNED_IN, 'content-type': 'multipart/form-data; boundary=b' }

  test.each<[string, Record<string, string>, string]>([
    ['without its end', multipart, part],
    ['empty', multipart, ''],
    ['of other words', multipart, 'a=1'],
    ['without a boundary', { ...SIGNED_IN, 'content-type': 'multipart/form-data' }, `${part}--b--\r\n`],
    ...['[{"a":', 'null', '{}', '["$1"]', '["$Q0"]', `${'['.repeat(20_000)}${']'.repeat(20_000)}`].map(
      (body) =>
        [
          `an action’s ${body.slice(0, 9)}`,
          { ...SIGNED_IN, 'next-action': 'x', 'content-type': 'text/plain' },
          body,
        ] as [string, Record<string, string>, string],
    ),
    [
      'an action’s that names a part which is not there',
      { ...multipart, 'next-action': 'x' },
      '--b\r\nContent-Disposition: form-data; name="0"\r\n\r\n["$h1"]\r\n--b--\r\n',
    ],
  ])('%s, is refused before the program sees it', async (_, headers, body) => {
    const { port, seen } = await front()
    for (const chunked of [false, true])
      expect(await send(port, { headers, body: Buffer.from(body), chunked })).toMatchObject({
        status: 400,
        body: 'This form cannot be read.',
      })
    expect(seen).toEqual([])
  })

  test('one without an end is not taken in without end', async () => {
    const { port, seen } = await front()
    const body = Buffer.concat([Buffer.from(part), Buffer.alloc(MB, 'x')])
    expect((await send(port, { headers: multipart, body, chunked: true })).status).toBe(413)
    expect(seen).toEqual([])
  })

  test('one that can goes through as it came', async () => {
    const { port, seen } = await front()
    const whole = Buffer.from(`${part}--b--\r\n`)
    const large = Buffer.from(`${part.replace('1', 'x'.repeat(300_000))}--b--\r\n`)
    for (const body of [whole, large])
      for (const chunked of [false, true])
        expect((await send(port, { headers: multipart, body, chunked })).status).toBe(200)
    expect(seen.map(({ bytes }) => bytes)).toEqual([whole.length, whole.length, large.length, large.length])
  })
})

describe('what is wrong with the head', () => {
  test('another name than ours is refused, so that no page can lead its own name here', async () => {
    const { port, seen } = await front({ publicAddress: 'https://round.example' })
    const status = async (host: string) => (await send(port, { method: 'GET', headers: { host } })).status
    for (const host of ['evil.example', 'evil.example:3000', 'round.example.evil.example'])
      expect([host, await status(host)]).toEqual([host, 421])
    for (const host of ['round.example', 'localhost:3000', '127.0.0.1', '192.168.1.20:3000', '[::1]:3000'])
      expect([host, await status(host)]).toEqual([host, 200])
    expect(seen).toHaveLength(5)
  })

  test('another page’s form, and what is not asked or sent, never reach the program', async () => {
    const { port, seen } = await front()
    const host = 'round.example'
    for (const origin of ['https://evil.example', 'null', 'nonsense', 'http://round.example.evil.example'])
      expect([origin, (await send(port, { headers: { host, origin } })).status]).toEqual([origin, 403])
    expect((await send(port, { headers: { host, 'sec-fetch-site': 'cross-site' } })).status).toBe(403)
    for (const method of ['PUT', 'DELETE', 'PATCH', 'TRACE', 'OPTIONS'])
      expect([method, (await send(port, { method })).status]).toEqual([method, 405])
    expect(seen).toEqual([])
    expect((await send(port, { headers: { host, origin: 'https://round.example' } })).status).toBe(200)
  })

  test('a cookie that we did not give admits no more than none', async () => {
    const { port } = await front()
    const body = Buffer.alloc(100 * 1024)
    const status = async (cookie: string) => (await send(port, { headers: { cookie }, body })).status
    expect([await status('session=x'), await status('session=forged'), await status('')]).toEqual([200, 413, 413])
  })

  test('a connection that wants to become something else is answered, and ends', async () => {
    const { port } = await front()
    for (let n = 0; n < 20; n++) {
      const socket = connect(port, '127.0.0.1')
      socket.end('GET / HTTP/1.1\r\nHost: localhost\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n\r\n')
      expect(await text(socket)).toMatch(/^HTTP\/1\.1 200/)
    }
  })
})

describe('with a certificate', () => {
  const CERT = path.join(import.meta.dirname, 'only-for-tests-cert.pem')
  const KEY = path.join(import.meta.dirname, 'only-for-tests-key.pem')
  const named = (cert: string, key: string) => {
    vi.stubEnv('TANKROUND_TLS_CERT', cert)
    vi.stubEnv('TANKROUND_TLS_KEY', key)
    return readCertificate()
  }
  afterEach(() => {
    vi.unstubAllEnvs()
  })

  test('it speaks HTTPS itself, and the program is told so', async () => {
    const certificate = named(CERT, KEY)
    if (!certificate) throw new Error('no certificate was read')
    const { port, seen } = await front({ certificate, isHttps: true })
    const status = await new Promise((resolve, reject) => {
      // Only that very certificate is believed.
      getOverTls({ port, host: '127.0.0.1', servername: 'localhost', ca: certificate.cert }, (response) => {
        response.resume()
        resolve(response.statusCode)
      }).on('error', reject)
    })
    expect(status).toBe(200)
    expect(seen[0]?.headers['x-forwarded-proto']).toBe('https')
  })

  test('half of one, one that is not there, or a key of another is told in words', () => {
    expect(named('', '')).toBeNull()
    expect(() => named(CERT, '')).toThrow(/both/)
    expect(() => named('/nowhere.pem', KEY)).toThrow(/cannot be used/)
    expect(() => named(KEY, KEY)).toThrow(/belong together/)
  })
})
