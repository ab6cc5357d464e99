import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction, TransactionLimits } from '@/lib/platform/db/scope'
import { isUniqueViolation } from '@/lib/platform/db/unique-violation'
import { type Actor, inBusiness } from './actor'
import type { Result } from './result'

/** What every write carries, from desk or phone. Times are instants; `clockOffsetMs` is what the server adds to `madeAt`. */
export type CommandEnvelope = {
  id: string
  kind: string
  payload: Prisma.InputJsonValue
  version?: number
  deviceId?: string
  deviceSeq?: number
  madeAt?: Date
  clockOffsetMs?: number
  /** A phone's refused command is kept and shown; a desk form shows the refusal at once and may send the id again. */
  keepRefused?: boolean
}

/** What a command may know while it runs. `madeAt` is already corrected by the clock offset. */
export type CommandContext = { tx: Transaction; commandId: string; madeAt: Date; deviceSeq: number }

class Refusal extends Error {
  constructor(readonly result: { ok: false; reason: string; words?: string }) {
    super(result.reason)
  }
}

/** Two people put the same row right at the same moment: the second of them is told so, and nothing of it is kept. */
const CORRECTED_MEANWHILE = {
  ok: false,
  reason: 'already-so',
  words: 'Somebody has put this right at the same moment. Reload the page and look at what it says now.',
} as const

/**
 * Applies a command once, in one transaction: the command row and all it does, or nothing. The same id again, also at the
 * same time in another process, changes nothing and answers what the first one answered.
 * Errors: what `apply` throws; a refusal (`ok: false`) is a value, and everything it wrote is rolled back.
 */
export async function runCommand<T extends Prisma.InputJsonValue, Reason extends string>(
  actor: Actor,
  envelope: CommandEnvelope,
  apply: (context: CommandContext) => Promise<Result<T, Reason>>,
  limits?: TransactionLimits,
): Promise<Result<T, Reason>> {
  const receivedAt = new Date()
  const deviceMadeAt = envelope.madeAt ?? receivedAt
  const clockOffsetMs = envelope.clockOffsetMs ?? 0
  const row = {
    businessId: actor.businessId,
    id: envelope.id,
    deviceId: envelope.deviceId ?? 'desk',
    deviceSeq: envelope.deviceSeq ?? 0,
    madeAt: deviceMadeAt,
    clockOffsetMs,
    kind: envelope.kind,
    version: envelope.version ?? 1,
    payload: envelope.payload,
    receivedAt,
    personId: actor.personId,
  }
  try {
    return await inBusiness(
      actor,
      async (tx) => {
        const { count } = await tx.command.createMany({ data: [{ ...row, status: 'applied' }], skipDuplicates: true })
        if (count === 0) return earlierAnswer<T, Reason>(tx, actor, envelope.id)
        const madeAt = new Date(deviceMadeAt.getTime() + clockOffsetMs)
        const result = await apply({ tx, commandId: envelope.id, madeAt, deviceSeq: row.deviceSeq })
        if (!result.ok) throw new Refusal(result)
        await tx.command.update({
          where: { businessId_id: { businessId: actor.businessId, id: envelope.id } },
          data: { result: result.value },
        })
        return result
      },
      limits,
    )
  } catch (error) {
    if (isUniqueViolation(error, 'corrects_id')) return CORRECTED_MEANWHILE as Result<T, Reason>
    if (!(error instanceof Refusal)) throw error
    if (envelope.keepRefused)
      await keepRefused(actor, { ...row, status: 'refused', reason: error.result.words ?? error.result.reason })
    // The refusal came from `apply`, so it is one of its own results.
    return error.result as Result<T, Reason>
  }
}

/**
 * Writes what a command changed in the mutable plan or register, beside the command log: before and after, by whom.
 */
export async function writeAudit(
  { tx, commandId }: CommandContext,
  actor: Actor,
  entry: {
    id: string
    action: string
    entity: string
    entityId: string
    before?: Prisma.InputJsonValue
    after?: Prisma.InputJsonValue
  },
): Promise<void> {
  await tx.audit.create({ data: { ...entry, businessId: actor.businessId, personId: actor.personId, commandId } })
}

async function earlierAnswer<T, Reason extends string>(
  tx: Transaction,
  actor: Actor,
  id: string,
): Promise<Result<T, Reason>> {
  const earlier = await tx.command.findUnique({ where: { businessId_id: { businessId: actor.businessId, id } } })
  // A row of another person's under the client role is not visible: an id collision that no honest device makes.
  if (!earlier) return { ok: false, reason: 'not-allowed', words: 'This entry was already made by someone else.' }
  if (earlier.status === 'refused') return { ok: false, reason: 'not-allowed', words: earlier.reason }
  // The stored result is what the same command answered the first time.
  return { ok: true, value: earlier.result as T }
}

async function keepRefused(actor: Actor, row: Prisma.CommandCreateManyInput): Promise<void> {
  await inBusiness(actor, (tx) => tx.command.createMany({ data: [row], skipDuplicates: true }))
}
