import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import { createServer as createTlsServer, type Server as TlsServer } from 'node:https'
import { TLSSocket } from 'node:tls'
import type { Certificate } from '@/lib/platform/config/certificate'
import { whileWanted } from '@/lib/platform/db/still-wanted'
import { ADDRESS_HEADER, callerAddress, plainAddress } from './address'
import { admitBody, refuse, type UploadRoute } from './body-limit'
import { isFromHere } from './from-here'
import { addSecurityHeaders } from './security-headers'

export type FrontServer = {
  /** Answers what is let through. */
  handle: (request: IncomingMessage, response: ServerResponse) => Promise<void> | void
  /** Whose forwarded headers are taken. */
  isTrusted: (address: string) => boolean
  /** Whether a host's name is ours. */
  isOwnName: (host: string) => boolean
  isHttps: boolean
  /** Speaks HTTPS itself, where there is one. */
  certificate?: Certificate | null
  sessionCookie: string
  /** Whether the value of that cookie is one that we gave. */
  isSession: (value: string) => Promise<boolean>
  uploads: readonly UploadRoute[]
  /** Gets what went wrong behind it. */
  onError: (error: unknown) => void
}

/** A whole request, files of a slow phone included, is here within this time. */
const REQUEST_MS = 300_000
const HEAD_MS = 20_000
/** Longer than proxies keep theirs (60 s is usual), so that it is they who close. */
const KEEP_ALIVE_MS = 65_000

/** Names that only we, or a proxy we trust, may set. */
const NOT_FROM_OUTSIDE =
  /^(?:x-forwarded-|x-tankround-|x-middleware-|x-invoke-|x-real-ip$|x-nonce$|x-request-id$|forwarded$)/

/**
 * The server in front of the program. The program believes what its request headers say of the caller; here they are made
 * true. Sizes and times of bodies are held, and every answer gets the headers that protect it.
 */
export function frontServer(options: FrontServer): Server | TlsServer {
  const { handle, isTrusted, isHttps, certificate, sessionCookie, isSession, uploads, onError } = options
  const answer = async (request: IncomingMessage, response: ServerResponse) => {
    addSecurityHeaders(response, { isHttps, sessionCookie })
    tellTheTruth(request, isTrusted)
    const wrong = wrongHead(request, options)
    if (wrong) {
      refuse(request, response, wrong.status, wrong)
      return
    }
    try {
      const value = cookieOf(request, sessionCookie)
      const held = holdBody(request)
      const hasSession = value !== undefined && request.method === 'POST' && (await isSession(value))
      held.lift()
      const admitted = admitBody(request, response, { uploads, hasSession })
      held.replay()
      if (!(await admitted)) return
      await (isReading(request)
        ? whileWanted(goneSignal(response), () => handle(request, response))
        : handle(request, response))
    } catch (error) {
      onError(error)
      if (response.headersSent) response.destroy()
      else response.writeHead(500, { 'content-type': 'text/plain' }).end('Something went wrong.')
    }
  }
  const server = certificate ? createTlsServer(certificate, answer) : createServer(answer)
  server.requestTimeout = REQUEST_MS
  server.headersTimeout = HEAD_MS
  server.keepAliveTimeout = KEEP_ALIVE_MS
  return server
}

type Refusal = { status: number; reason: string; words: string }

/** What is wrong with the head of a request, whatever comes after it. */
function wrongHead(request: IncomingMessage, { isOwnName }: Pick<FrontServer, 'isOwnName'>): Refusal | null {
  const { method = '', url = '', headers } = request
  if (!isWellFormed(url)) return { status: 400, reason: 'invalid', words: 'This address cannot be read.' }
  if (!isOwnName(single(headers['x-forwarded-host']) ?? ''))
    return {
      status: 421,
      reason: 'other-name',
      words:
        'Tankround does not answer under this name. Use the address that it was started with; NEXTAUTH_URL sets another one.',
    }
  if (!['GET', 'HEAD', 'POST'].includes(method))
    return { status: 405, reason: 'no-such-method', words: 'This cannot be asked for like that.' }
  const get = (name: string) => single(headers[name]) ?? null
  if (method === 'POST' && !isFromHere({ headers: { get } }))
    return { status: 403, reason: 'not-allowed', words: 'This did not come from a page of this site.' }
  return null
}

type Pushed = [chunk: Uint8Array | null, encoding?: BufferEncoding]

/** Keeps back what comes of a body until it is known how much of it is let in: `lift`, look at the request, `replay`, in one go. */
function holdBody(request: IncomingMessage): { lift: () => void; replay: () => void } {
  const push = request.push
  const came: Pushed[] = []
  request.push = (...pushed: Pushed) => {
    came.push(pushed)
    return true
  }
  return {
    lift: () => {
      request.push = push
    },
    replay: () => {
      for (const pushed of came) request.push(...pushed)
    },
  }
}

const isReading = ({ method }: IncomingMessage) => method === 'GET' || method === 'HEAD'

/** Aborts when whoever asked is gone before the answer is whole; what they sent is done all the same, only reading ends. */
function goneSignal(response: ServerResponse): AbortSignal {
  const gone = new AbortController()
  response.once('close', () => {
    if (!response.writableFinished) gone.abort(new Error('whoever asked is gone'))
  })
  return gone.signal
}

/** Replaces what the caller says of itself by what the socket, or a proxy we trust, says of it. */
function tellTheTruth(request: IncomingMessage, isTrusted: (address: string) => boolean): void {
  const { headers, socket } = request
  const socketAddress = socket.remoteAddress ?? ''
  const forwarded = {
    for: single(headers['x-forwarded-for']),
    host: single(headers['x-forwarded-host']),
    proto: single(headers['x-forwarded-proto']),
  }
  const address = callerAddress(socketAddress, forwarded.for, isTrusted)
  const behindProxy = isTrusted(plainAddress(socketAddress))
  for (const name of Object.keys(headers)) if (NOT_FROM_OUTSIDE.test(name)) delete headers[name]
  headers['x-forwarded-for'] = address
  headers['x-forwarded-host'] = (behindProxy && forwarded.host) || headers.host || ''
  const spoken = behindProxy && /^https?$/.test(forwarded.proto ?? '') ? forwarded.proto : undefined
  headers['x-forwarded-proto'] = spoken ?? (socket instanceof TLSSocket ? 'https' : 'http')
  headers[ADDRESS_HEADER] = address
}

/** Whether an address is one of this site, and can be decoded to text that a database can hold: its path is UTF-8, and there is no NUL in it. */
function isWellFormed(address: string): boolean {
  if (!address.startsWith('/')) return false
  try {
    decodeURIComponent(address.split('?')[0] ?? '')
    return !address.includes('%00')
  } catch {
    return false
  }
}

/** A header that came several times, as one. */
function single(value: string | string[] | undefined): string | undefined {
  return Array.isArray(value) ? value.join(', ') : value
}

function cookieOf({ headers }: IncomingMessage, name: string): string | undefined {
  const pairs = (headers.cookie ?? '').split(';').map((pair) => pair.trim())
  return pairs.find((pair) => pair.startsWith(`${name}=`))?.slice(name.length + 1)
}
