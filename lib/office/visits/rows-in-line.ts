import 'server-only'
import { dayIn } from '../frame/days'
import { rowId } from '../frame/row-ids'
import { orderKey } from './canonical-order'
import type { VisitCommand } from './schema'
import type { VisitContext } from './visit-context'

/** When a command was made, on which day at the site, and by which device: columns of each row that it says. */
export type Origin = {
  commandId: string | null
  madeAt: Date
  day: string
  deviceSeq: number
  kind: VisitCommand['kind']
}

export function originOf({ said, commandId, madeAt, day, deviceSeq, visit }: VisitContext, by: string | null): Origin {
  const command = said.find(({ id }) => id === by)
  if (!command) return { commandId, madeAt, day, deviceSeq, kind: 'visit.take-back' }
  const at = new Date(orderKey(command).at)
  return {
    commandId: command.id,
    madeAt: at,
    day: dayIn(visit.timeZone, at),
    deviceSeq: command.deviceSeq,
    kind: command.kind,
  }
}

/** Columns of every row that belongs to a visit and to its client of that time. */
export function ofVisit({ actor, visit }: VisitContext) {
  return { businessId: actor.businessId, clientId: visit.clientId, tankId: visit.tankId, visitId: visit.id }
}

/** Rows that the visit's commands said; an import's stay as they are. */
export function wasSaid({ said }: VisitContext, { commandId }: { commandId: string | null }): boolean {
  return said.some(({ id }) => id === commandId)
}

/** The rows nobody corrected, each with the id of the row its chain began with. */
export function endsOfChains<Row extends { id: string; correctsId: string | null }>(rows: readonly Row[]) {
  const byId = new Map(rows.map((row) => [row.id, row]))
  const corrected = new Set(rows.flatMap(({ correctsId }) => correctsId ?? []))
  return rows
    .filter(({ id }) => !corrected.has(id))
    .map((row) => {
      let root = row
      for (let before = row.correctsId; before !== null; before = root.correctsId) {
        const next = byId.get(before)
        if (!next) break
        root = next
      }
      return { rootId: root.id, row }
    })
}

/** The id of a row that says something once more, or anew after it was taken back: the one it would have at first stands in the chain already. */
export const againId = ({ commandId }: VisitContext, headId: string) => rowId(commandId, `after ${headId}`)
