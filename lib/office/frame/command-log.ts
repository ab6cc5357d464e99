import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import type { Actor } from './actor'
import { asJson } from './command-context'
import { hashOfContent, sameHash } from './command-hash'
import { changedWords } from './kept-words'
import { withoutPeople } from './people-in-logs'
import { OTHER_CONTENT, type Result, refused } from './result'

/** Every input names the command's own id and the business its page was made for. */
export type Addressed = { businessId: string } & ({ commandId: string } | { id: string })

/** What an earlier sending was answered. */
type Answered = { ok: true; value: Prisma.InputJsonValue } | Refusal
export type Refusal = Extract<Result<never, string>, { ok: false }>

export type CommandRow = ReturnType<typeof rowOf>

/** What stands in the log: the envelope in columns of its own, the rest as payload, names and addresses only as given. */
export function rowOf(actor: Actor, kind: string, input: Addressed, sent: unknown) {
  const { businessId, commandId, id, version, deviceId, deviceSeq, clockOffsetMs, madeAt, ...said }: Envelope = input
  // Beside a `commandId`, `id` is the row that the command is about.
  const payload = commandId === undefined || id === undefined ? said : { id, ...said }
  const receivedAt = new Date()
  return {
    businessId,
    id: commandId ?? id ?? '',
    kind,
    version: version ?? 1,
    deviceId: deviceId ?? 'desk',
    deviceSeq: deviceSeq ?? 0,
    clockOffsetMs: clockOffsetMs ?? 0,
    madeAt: madeAt === undefined ? receivedAt : new Date(madeAt),
    receivedAt,
    payload: asJson(withoutPeople(kind, payload)),
    visitId: said.visitId || null,
    stopId: said.stopId || null,
    hash: hashOfContent(kind, sent),
    personId: actor.personId,
  }
}

/** What may stand beside the content: times are instants, `clockOffsetMs` is what the server adds to `madeAt`. */
type Envelope = {
  businessId: string
  commandId?: string
  id?: string
  version?: number
  deviceId?: string
  deviceSeq?: number
  clockOffsetMs?: number
  madeAt?: string
  visitId?: string
  stopId?: string
}

export async function earlierAnswer(tx: Transaction, row: CommandRow): Promise<Answered> {
  const { businessId, id } = row
  const earlier = await tx.command.findUnique({ where: { businessId_id: { businessId, id } } })
  // A row of another person's under the client role is not visible: an id collision that no honest device makes.
  if (!earlier || earlier.personId !== row.personId)
    return refused('not-allowed', 'This entry was already made by someone else.')
  if (earlier.kind !== row.kind || !sameHash(earlier.hash, row.hash))
    return refused(OTHER_CONTENT, changedWords(earlier.payload, row.payload))
  if (earlier.status === 'refused') return refused('not-allowed', earlier.reason)
  // The stored result is what the same command answered the first time.
  return { ok: true, value: earlier.result as Prisma.InputJsonValue }
}
