import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { newId } from '@/lib/new-id'
import type { Actor } from './actor'
import { type CommandContext, writeAudit } from './command'

/** A running command that knows who runs it and writes before and after beside the command log. */
export type AuditedContext = CommandContext & {
  actor: Actor
  /** Dates and decimals become text; `undefined` is left out. */
  audit: (entity: string, entityId: string, action: string, before: unknown, after: unknown) => Promise<void>
}

/**
 * Adds the actor and the audit to a command's context. `keep` may take out what must not stand in a log that nobody can
 * change.
 */
export function audited(
  context: CommandContext,
  actor: Actor,
  keep: (entity: string, value: unknown) => unknown = (_entity, value) => value,
): AuditedContext {
  const shown = (entity: string, value: unknown) => asJson(keep(entity, value))
  return {
    ...context,
    actor,
    audit: (entity, entityId, action, before, after) =>
      writeAudit(context, actor, {
        id: newId(),
        action,
        entity,
        entityId,
        ...(before === undefined ? {} : { before: shown(entity, before) }),
        ...(after === undefined ? {} : { after: shown(entity, after) }),
      }),
  }
}

/** A value as JSON holds it. */
export function asJson(value: unknown): Prisma.InputJsonValue {
  // A round trip through JSON is what makes it JSON: dates and decimals have toJSON.
  return JSON.parse(JSON.stringify(value)) as Prisma.InputJsonValue
}
