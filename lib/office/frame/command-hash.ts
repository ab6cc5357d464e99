import 'server-only'
import { createHash, createHmac } from 'node:crypto'
import { configure } from 'safe-stable-stringify'
import { storedSecret } from '@/lib/platform/config/stored-secret'

/** JSON with the keys of every object in one order; what JSON cannot hold becomes text, never an error. */
const canonicalJson = configure({ bigint: true, circularValue: 'circular', deterministic: true })

/** How a command reached us, not what it says: the same entry sent again may have another of these. */
const ENVELOPE: ReadonlySet<string> = new Set([
  'commandId',
  'businessId',
  'version',
  'deviceId',
  'deviceSeq',
  'madeAt',
  'clockOffsetMs',
])

/**
 * Whether two commands of one id say the same: a keyed hash over kind and content as they were received, before defaults are filled
 * in. Keyed, because names and addresses that the log leaves out could otherwise be guessed from it. Before the point stands which
 * key it was.
 */
export function hashOfContent(kind: string, sent: unknown): string {
  const content =
    typeof sent === 'object' && sent !== null
      ? Object.entries(sent).filter(([name]) => !ENVELOPE.has(name) && (name !== 'id' || 'commandId' in sent))
      : []
  const text = canonicalJson([kind, Object.fromEntries(content)]) ?? ''
  const { secret, name } = key()
  return `${name}.${createHmac('sha256', secret).update(text).digest('base64url')}`
}

/** Rows written before there were hashes, or on another machine with another key, cannot be told apart: they count as the same. */
export function sameHash(earlier: string | null, now: string): boolean {
  return earlier === null || earlier === now || keyName(earlier) !== keyName(now)
}

const keyName = (hash: string) => hash.slice(0, hash.indexOf('.'))

let known: { secret: string; name: string } | undefined

/** COMMAND_SECRET where several machines serve one database; else one that is made once and kept in the data folder. */
function key(): { secret: string; name: string } {
  if (!known) {
    const secret = process.env.COMMAND_SECRET || storedSecret('command-secret')
    known = { secret, name: createHash('sha256').update(`name of ${secret}`).digest('base64url').slice(0, 8) }
  }
  return known
}
