import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type FaultCell, type RemedyState, type RemedyWatch, watchRemedy } from '@/lib/trade'
import { asDay } from '../frame/days'
import { dayOf } from '../lanes/day-numbers'
import { intervalWords } from './changes'
import { type FaultPair, pairOf, readFaultCells, readRateSpreads } from './read-cells'

export type WatchedRemedy = FaultPair & {
  id: string
  remedy: string
  effectiveOn: string
  decidedOn: string
  personName: string
  watch: RemedyWatch
  /** The ratio of the rates with its interval, in words; blank where there is none. */
  interval: string
  /** The newest of its fault; older ones are judged up to the next. */
  isNewest: boolean
}

/** What the list says of a fault's newest remedy. */
export const REMEDY_STATE_WORDS: Readonly<Record<RemedyState | 'none', string>> = {
  none: 'nothing decided yet',
  unseen: 'decided; nobody has looked since',
  early: 'watching',
  fell: 'fell',
  'not-fallen': 'has not fallen',
}

/**
 * Remedies of some tanks × modes, newest first, each with what came of it. Before it: since the remedy before. After it: until the next one.
 */
export async function watchRemedies(
  tx: Transaction,
  businessId: string,
  pairs: readonly (FaultPair & { modelVersion: number })[],
  todayDay: number,
): Promise<WatchedRemedy[]> {
  if (pairs.length === 0) return []
  const rows = await tx.faultRemedy.findMany({
    where: {
      businessId,
      correctedBy: { is: null },
      isTakenBack: false,
      OR: pairs.map(pairOf),
    },
    include: { person: { select: { name: true } } },
    orderBy: [{ effectiveOn: 'asc' }, { id: 'asc' }],
  })
  if (rows.length === 0) return []
  const decided = pairs.filter((pair) => rows.some((row) => isOf(row, pair)))
  const cellsOf = await readFaultCells(tx, businessId, decided)
  const spreadOf = await readRateSpreads(tx, businessId, decided)
  return rows
    .map((row) => {
      const same = rows.filter((other) => isOf(other, row))
      const place = same.indexOf(row)
      const from = same[place - 1]?.effectiveOn
      const until = same[place + 1]?.effectiveOn
      const cells = cellsOf(row).filter(between(from && dayOf(from), until && dayOf(until)))
      const { id, remedy, tankId, equipmentClass, failureMode } = row
      const watch = watchRemedy(cells, dayOf(row.effectiveOn), until ? dayOf(until) : todayDay, spreadOf(row))
      return {
        ...{ id, remedy, tankId, equipmentClass, failureMode },
        effectiveOn: asDay(row.effectiveOn),
        decidedOn: asDay(row.decidedOn),
        personName: row.person?.name ?? '',
        watch,
        interval: intervalWords(watch.ratio),
        isNewest: until === undefined,
      }
    })
    .reverse()
}

/** Which of these faults have fallen since their newest remedy: they came back, and do no more. */
export async function fallenFaults(
  tx: Transaction,
  businessId: string,
  pairs: readonly (FaultPair & { modelVersion: number })[],
  todayDay: number,
): Promise<(pair: FaultPair) => boolean> {
  const fallen = (await watchRemedies(tx, businessId, pairs, todayDay)).filter(
    ({ isNewest, watch }) => isNewest && watch.state === 'fell',
  )
  return (pair) => fallen.some((one) => isOf(one, pair))
}

export function isOf(row: FaultPair, pair: FaultPair): boolean {
  return (
    row.tankId === pair.tankId && row.equipmentClass === pair.equipmentClass && row.failureMode === pair.failureMode
  )
}

const between =
  (from: number | undefined, until: number | undefined) =>
  ({ day }: FaultCell) =>
    (from === undefined || day > from) && (until === undefined || day <= until)
