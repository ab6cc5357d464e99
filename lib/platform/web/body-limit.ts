import type { IncomingMessage, ServerResponse } from 'node:http'
import { isReadableForm } from './whole-form'

/** A route that takes files: how much of them, and what it says to whoever is not signed in or sends more. */
export type UploadRoute = { path: string; mostBytes: number; signedOut: string; tooLarge: string }

/** What a form of ours may send. */
const MOST_BYTES = 1024 * 1024
/** What somebody may send who is not signed in: an e-mail address and a password. */
const MOST_BYTES_SIGNED_OUT = 64 * 1024
/** A form arrives within this time; files may take as long as the server's own limit says. */
const FORM_ARRIVES_MS = 30_000
/** How long the rest of a refused body is still taken in and thrown away, so that the refusal is read. */
const LINGER_MS = 5_000

/**
 * Lets a request pass, or refuses it: too large by what its head says, too large by what really comes, too slow, a form that
 * cannot be read, or files from somebody who is not signed in. True when it may go on to the program; it is watched until its end.
 */
export async function admitBody(
  request: IncomingMessage,
  response: ServerResponse,
  { uploads, hasSession }: { uploads: readonly UploadRoute[]; hasSession: boolean },
): Promise<boolean> {
  const upload = uploads.find(({ path }) => path === request.url?.split('?')[0])
  const isUpload = upload !== undefined && request.method === 'POST'
  if (isUpload && !hasSession) {
    refuse(request, response, 401, { reason: 'signed-out', words: upload.signedOut })
    return false
  }
  const most = isUpload ? upload.mostBytes : hasSession ? MOST_BYTES : MOST_BYTES_SIGNED_OUT
  const words = isUpload ? upload.tooLarge : `This is too much to send at once: at most ${Math.floor(most / 1024)} kB.`
  const tooLarge = () => refuse(request, response, 413, { reason: 'too-large', words })
  const told = request.headers['content-length']
  if (told !== undefined && Number(told) > most) {
    tooLarge()
    return false
  }
  // Before the counter, which then stands in front of it.
  const readable = isUpload ? Promise.resolve(true) : isReadableForm(request)
  if (told === undefined && request.headers['transfer-encoding'] !== undefined) countBody(request, most, tooLarge)
  if (!isUpload && !request.complete) limitTime(request, response)
  if (await readable) return true
  refuse(request, response, 400, { reason: 'invalid', words: 'This form cannot be read.' })
  return false
}

/** Counts what comes of a body whose length nobody told; Node itself holds a told one to its length. */
function countBody(request: IncomingMessage, most: number, tooLarge: () => void): void {
  const push = request.push.bind(request)
  let bytes = 0
  request.push = (chunk: Uint8Array | null, encoding?: BufferEncoding) => {
    bytes += chunk?.length ?? 0
    if (bytes <= most) return push(chunk, encoding)
    // Whoever reads it gets an end instead of the rest, once; the answer is ours.
    request.push = () => true
    tooLarge()
    return push(null)
  }
}

function limitTime(request: IncomingMessage, response: ServerResponse): void {
  const late = setTimeout(() => {
    if (!request.complete)
      refuse(request, response, 408, { reason: 'too-slow', words: 'This took too long to arrive.' })
  }, FORM_ARRIVES_MS)
  late.unref()
  const stop = () => clearTimeout(late)
  request.once('end', stop)
  request.once('close', stop)
}

/** Answers in words instead of the program. The rest is taken in and thrown away for a while: a connection cut at once loses the answer. */
export function refuse(
  request: IncomingMessage,
  response: ServerResponse,
  status: number,
  { reason, words }: { reason: string; words: string },
): void {
  const isApi = request.url?.startsWith('/api/') ?? false
  if (!response.headersSent) {
    const body = isApi ? JSON.stringify({ ok: false, reason, words }) : words
    response.writeHead(status, {
      'content-type': isApi ? 'application/json' : 'text/plain; charset=utf-8',
      'content-length': Buffer.byteLength(body),
    })
    response.end(body)
  }
  request.resume()
  if (request.complete) return
  const cut = setTimeout(() => request.complete || request.socket.destroy(), LINGER_MS)
  cut.unref()
  request.once('close', () => clearTimeout(cut))
}
