import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { done, refused } from '../frame/result'
import { lookRowId, rowId } from '../frame/row-ids'
import { addToChain, type MadeBy, madeBy } from './chain'
import { isShownByRunning } from './looking'
import { creditOf } from './projection'
import { type Pair, pairKey } from './record'
import type { CommandOf, Look } from './schema'
import { type Applied, dayColumn, misfit, type VisitContext, visitColumns, writeEvent } from './visit-context'

type FindingRow = Prisma.FindingGetPayload<object>
type Head = { row: FindingRow; made: MadeBy | undefined }

/** Records looks; the newest look at a pair counts, also over an earlier tap on "all else seen running". */
export async function recordLooks(context: VisitContext, looks: readonly Look[]): Promise<Applied> {
  const wrong = misfit(context, looks)
  if (wrong) return wrong
  const heads = await currentLooks(context)
  const first = looks.filter((look) => !heads.has(pairKey(look)))
  await context.tx.finding.createMany({
    data: first.map((look) => ({ ...findingColumns(context, look), id: lookRowId(context.commandId, look) })),
  })
  for (const look of looks) {
    const head = heads.get(pairKey(look))
    if (!head) continue
    // A tap for the rest, and a suspicion that waits, give way to any look.
    const weak = head.made?.kind === 'visit.all-running' || head.made?.kind === 'visit.suspect'
    const id = lookRowId(context.commandId, look)
    await addToChain(context, head.row, weak ? undefined : head.made, {
      row: async (correctsId) => {
        await context.tx.finding.create({ data: { ...findingColumns(context, look), id, correctsId } })
        return id
      },
      reapplyHead: (correctsId) => addAgain(context, head.row, correctsId),
    })
  }
  return done({ touched: looks.map(pairOf) })
}

/** The one tap: an ok, seen running, for the pairs listed that nobody looked at, suspected or reported in this visit. */
export async function recordAllRunning(
  context: VisitContext,
  command: CommandOf<'visit.all-running'>,
): Promise<Applied> {
  const wrong = misfit(context, command.pairs)
  if (wrong) return wrong
  const hidden = command.pairs.find((pair) => !isShownByRunning(pair.mode))
  if (hidden)
    return refused(
      'does-not-fit',
      'Running does not show everything: what must be opened or measured is answered by itself.',
    )
  const taken = new Set([...(await currentLooks(context)).keys(), ...(await doubtedPairs(context))])
  const credited = command.pairs.filter((pair) => !taken.has(pairKey(pair)))
  await context.tx.finding.createMany({
    data: credited.map((pair) => ({
      ...findingColumns(context, creditOf(pair)),
      id: lookRowId(command.id, pair),
    })),
  })
  await writeEvent(context, 'all-running', { credited: credited.length })
  return done({ touched: credited })
}

/** A suspicion takes back what a tap for the rest had credited: now it waits for a look of its own. */
export async function recordSuspicion(context: VisitContext, command: CommandOf<'visit.suspect'>): Promise<Applied> {
  const wrong = misfit(context, [command])
  if (wrong) return wrong
  const { equipmentId, mode, words } = command
  const credit = await creditAt(context, command)
  if (credit) {
    const waiting = { ...creditOf(command), asFound: 'not_looked' as const }
    const id = lookRowId(command.id, command)
    await context.tx.finding.create({ data: { ...findingColumns(context, waiting), id, correctsId: credit.id } })
  }
  await writeEvent(context, 'suspected', { equipmentId, mode, words })
  return done({ touched: credit ? [pairOf(command)] : [] })
}

/** What somebody on site said. It is no look, and it takes back what a tap for the rest had credited. */
export async function recordReport(context: VisitContext, command: CommandOf<'visit.record-report'>): Promise<Applied> {
  const wrong = misfit(context, [command])
  if (wrong) return wrong
  if (command.reportedOn !== null && command.reportedOn > context.day)
    return refused('does-not-fit', 'It cannot have been noticed on a day that is still to come.')
  const credit = await creditAt(context, command)
  const said = { ...creditOf(command), asFound: command.asFound, symptom: command.words }
  await context.tx.finding.create({
    data: {
      ...findingColumns(context, said),
      id: command.id,
      learnedBy: 'report',
      reportedOn: command.reportedOn === null ? null : dayColumn(command.reportedOn),
      reportedSure: command.sure && command.reportedOn !== null,
      correctsId: credit?.id ?? null,
    },
  })
  return done({ touched: [pairOf(command)] })
}

const pairOf = ({ equipmentId, mode }: Pair): Pair => ({ equipmentId, mode })

/** The newest look of each pair in this visit, with the command that said so. */
async function currentLooks(context: VisitContext): Promise<Map<string, Head>> {
  const { tx, actor, visit } = context
  const rows = await tx.finding.findMany({
    where: { businessId: actor.businessId, visitId: visit.id, learnedBy: 'look', correctedBy: { is: null } },
    orderBy: [{ madeAt: 'asc' }, { id: 'asc' }],
  })
  const made = await madeBy(
    context,
    rows.flatMap(({ commandId }) => commandId ?? []),
  )
  return new Map(
    rows.flatMap((row) =>
      row.equipmentId === null
        ? []
        : [
            [
              pairKey({ equipmentId: row.equipmentId, mode: row.failureMode }),
              { row, made: made.get(row.commandId ?? '') },
            ],
          ],
    ),
  )
}

/** The row of a pair that only a tap for the rest has given, or null. */
async function creditAt(context: VisitContext, pair: Pair): Promise<FindingRow | null> {
  const head = (await currentLooks(context)).get(pairKey(pair))
  return head?.made?.kind === 'visit.all-running' ? head.row : null
}

/** Pairs that were suspected or reported in this visit. */
async function doubtedPairs({ tx, actor, visit }: VisitContext): Promise<string[]> {
  const { businessId } = actor
  const where = { businessId, visitId: visit.id }
  const suspected = await tx.visitEvent.findMany({ where: { ...where, kind: 'suspected' }, select: { detail: true } })
  const reported = await tx.finding.findMany({
    where: { ...where, learnedBy: 'report' },
    select: { equipmentId: true, failureMode: true },
  })
  return [
    ...suspected.map(({ detail }) => pairKey(detail as Pair)), // written above, with exactly these keys
    ...reported.map((row) => pairKey({ equipmentId: row.equipmentId ?? '', mode: row.failureMode })),
  ]
}

function findingColumns(context: VisitContext, look: Look) {
  const { devices, day, madeAt, deviceSeq } = context
  const { equipmentId, mode, ...said } = look
  const device = devices.get(equipmentId)
  const { symptom, cause, remedy, asLeft, cureConfidence, asFound, depth } = said
  return {
    ...visitColumns(context),
    ...{ asFound, depth, symptom, cause, remedy, asLeft, cureConfidence },
    equipmentId,
    slotId: device?.slotId ?? null,
    equipmentClass: device?.equipmentClass ?? '',
    failureMode: mode,
    foundOn: dayColumn(day),
    madeAt,
    deviceSeq,
  }
}

/** The same words once more, as the correction of a row that was made earlier and came later. */
async function addAgain({ tx }: VisitContext, row: FindingRow, correctsId: string): Promise<void> {
  await tx.finding.create({ data: { ...row, id: rowId(correctsId, `again ${row.id}`), correctsId } })
}
