import 'server-only'
import { compareOrder, type OrderKey } from './canonical-order'
import type { VisitContext } from './visit-context'

/** A row of something that is only ever added to. */
export type ChainRow = { id: string; commandId: string | null }

/** Where a row's command stands in the canonical order, and what kind of command it was. */
export type MadeBy = { key: OrderKey; kind: string }

/** What the log says of these commands. An imported row has none. */
export async function madeBy(context: VisitContext, commandIds: readonly string[]): Promise<Map<string, MadeBy>> {
  const { tx, actor } = context
  const rows = await tx.command.findMany({
    where: { businessId: actor.businessId, id: { in: [...new Set(commandIds)] } },
    select: { id: true, kind: true, madeAt: true, clockOffsetMs: true, deviceId: true, deviceSeq: true },
  })
  return new Map(
    rows.map(({ id, kind, madeAt, clockOffsetMs, deviceId, deviceSeq }) => [
      id,
      { kind, key: { at: madeAt.getTime() + clockOffsetMs, deviceId, deviceSeq, id } },
    ]),
  )
}

/**
 * Adds a row to the chain of corrections that ends in `head`. A row made later than the head corrects it. One that was made
 * earlier and only arrives now is added and then corrected at once by the head's own words, so that the end of the chain is
 * what was said last, in whatever order things arrive.
 */
export async function addToChain(
  context: VisitContext,
  head: ChainRow | null,
  headMadeBy: MadeBy | undefined,
  add: {
    /** Adds the new row. */
    row: (correctsId: string | null) => Promise<string>
    /** Adds the head's words once more. */
    reapplyHead: (correctsId: string) => Promise<void>
  },
): Promise<void> {
  const made = await add.row(head?.id ?? null)
  if (!head || !headMadeBy) return
  const own = (await madeBy(context, [context.commandId])).get(context.commandId)
  if (own && compareOrder(own.key, headMadeBy.key) < 0) await add.reapplyHead(made)
}
