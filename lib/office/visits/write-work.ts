import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { rowId } from '../frame/row-ids'
import type { Pair } from './record'
import { againId, endsOfChains, ofVisit, originOf, wasSaid } from './rows-in-line'
import { dayColumn, type VisitContext } from './visit-context'

/** What was found behind signs. Taken back it counts for nothing. */
export async function writeCases(context: VisitContext): Promise<Pair[]> {
  const { tx, commandId, record, rows } = context
  const ids = new Set(rows.faultCases.map(({ id }) => id))
  const standing = new Set(record.cases.map(({ id }) => id))
  const { clientId: _, ...ofTank } = ofVisit(context)
  const found = record.cases
    .filter(({ id }) => !ids.has(id))
    .map(({ id, sign, cause, equipmentId }) => {
      const origin = originOf(context, id)
      return { ...ofTank, id, sign, cause, equipmentId, foundOn: dayColumn(origin.day), commandId: id }
    })
  const unfound = endsOfChains(rows.faultCases)
    .filter(({ rootId, row }) => !standing.has(rootId) && !row.isTakenBack)
    .map(({ row: { createdAt: __, ...row } }) => {
      return { ...row, id: rowId(commandId, `unsaid ${row.id}`), correctsId: row.id, isTakenBack: true, commandId }
    })
  if (found.length + unfound.length > 0) await tx.faultCase.createMany({ data: [...found, ...unfound] })
  return []
}

/** What work started anew, and why. */
export async function writeRenewals(context: VisitContext): Promise<Pair[]> {
  const { tx, record, rows } = context
  const heads = new Map(endsOfChains(rows.renewals).map(({ rootId, row }) => [rootId, row]))
  const added: Prisma.RenewalCreateManyInput[] = []
  for (const { id, equipmentId, mode, task, reason, partial, by } of record.renewals) {
    const head = heads.get(id)
    heads.delete(id)
    if (head ? head.reason === reason && head.isPartial === partial : by === null) continue
    const { commandId, madeAt, day, deviceSeq } = originOf(context, by)
    const { clientId: _, ...ofTank } = ofVisit(context)
    added.push({
      ...(head ?? {
        ...{ ...ofTank, equipmentId, failureMode: mode, careTask: task, renewedOn: dayColumn(day) },
        slotId: context.devices.get(equipmentId)?.slotId ?? null,
      }),
      ...{ reason, isPartial: partial, commandId, madeAt, deviceSeq },
      ...(head ? { id: againId(context, head.id), correctsId: head.id } : { id }),
    })
  }
  // What was taken back renews nothing, as a part of the task renews nothing.
  for (const head of heads.values())
    if (!head.isPartial && wasSaid(context, head)) {
      const { commandId, madeAt, deviceSeq } = context
      added.push({
        ...head,
        ...{
          isPartial: true,
          commandId,
          madeAt,
          deviceSeq,
          id: rowId(commandId, `unsaid ${head.id}`),
          correctsId: head.id,
        },
      })
    }
  if (added.length > 0) await tx.renewal.createMany({ data: added })
  return added.map(({ equipmentId, failureMode }) => ({ equipmentId, mode: failureMode }))
}
