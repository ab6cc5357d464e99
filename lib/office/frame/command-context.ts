import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { newId } from '@/lib/new-id'
import type { Transaction } from '@/lib/platform/db/scope'
import type { Actor } from './actor'
import { withoutPeople } from './people-in-logs'

type Running = {
  tx: Transaction
  actor: Actor
  commandId: string
  /** When it was done, corrected by the clock offset of its device. */
  madeAt: Date
  deviceSeq: number
  derive: 'at-once' | 'later'
}

/** A running command: who runs it, when, and how before and after are written beside the command log. */
export type CommandContext = Running & {
  /** Dates and decimals become text; `undefined` is left out. */
  audit: (entity: string, entityId: string, action: string, before: unknown, after: unknown) => Promise<void>
}

/** Adds the audit to a running command: what it changed in the mutable plan or register, and by whom. */
export function contextOf(running: Running): CommandContext {
  const { tx, actor, commandId } = running
  const shown = (entity: string, value: unknown) => asJson(withoutPeople(entity, value))
  return {
    ...running,
    audit: async (entity, entityId, action, before, after) => {
      await tx.audit.create({
        data: {
          ...{ businessId: actor.businessId, id: newId(), personId: actor.personId, commandId },
          ...{ action, entity, entityId },
          ...(before === undefined ? {} : { before: shown(entity, before) }),
          ...(after === undefined ? {} : { after: shown(entity, after) }),
        },
      })
    },
  }
}

/** A value as JSON holds it. */
export function asJson(value: unknown): Prisma.InputJsonValue {
  // A round trip through JSON is what makes it JSON: dates and decimals have toJSON.
  return JSON.parse(JSON.stringify(value)) as Prisma.InputJsonValue
}
