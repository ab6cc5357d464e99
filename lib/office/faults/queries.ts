import 'server-only'
import { meanCumulativeFunction } from '@/lib/science'
import { findMode } from '@/lib/trade'
import { type Actor, inBusiness } from '../actor'
import { dayOf, isoOfDay, todayIn } from '../due/days'
import { type LaneMark, type LaneNeeds, needsOfPair, withMarks } from '../due/lane-marks'
import { classWords, type LaneForChart, laneViews, modeWords } from '../due/lane-views'
import { ownNames } from '../due/queries'

export type FaultRow = {
  tankId: string
  tankName: string
  clientName: string
  equipmentClass: string
  failureMode: string
  className: string
  modeWords: string
  observed: number
  expected: number
  rateRatio: number
  ratioLower: number
  ratioUpper: number
  probabilityAbove: number
  pValue: number
  sure: boolean
  overdispersed: boolean
  rank: number
}

const LIST_MAX = 60
/** Below this chance, or with a single need, a pair is not worth a line of the list. */
const WORTH_A_LINE = 0.3

/** Tanks where a fault comes back: sure ones first, then those that may be, over all classes and modes. */
export function repeatFaultList(actor: Actor): Promise<{ rows: FaultRow[]; pairs: number; fitted: boolean }> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const faults = await tx.repeatFault.findMany({
      where: {
        businessId,
        OR: [
          { isSure: true },
          { probabilityAbove: { gte: WORTH_A_LINE }, observed: { gte: 2 } },
          { pValue: { lt: 0.05 }, observed: { gte: 2 } },
        ],
        tank: { archivedAt: null, mergedIntoId: null },
      },
      include: { tank: { select: { name: true, client: { select: { name: true } } } } },
      orderBy: [
        { isSure: 'desc' },
        { probabilityAbove: 'desc' },
        { pValue: 'asc' },
        { tankId: 'asc' },
        { failureMode: 'asc' },
      ],
      take: LIST_MAX,
    })
    const names = await ownNames(tx, businessId)
    const pairs = await tx.repeatFault.count({ where: { businessId } })
    return {
      rows: faults.map((fault) => faultRow(fault, names)),
      pairs,
      fitted: (await tx.lifeModel.count({ where: { businessId, shape: { not: null } } })) > 0,
    }
  })
}

type Stored = Omit<FaultRow, 'tankName' | 'clientName' | 'className' | 'modeWords' | 'sure'> & {
  isSure: boolean
  tank: { name: string; client: { name: string } }
}

function faultRow(fault: Stored, names: ReadonlyMap<string, string>): FaultRow {
  const { tank, isSure, ...figures } = fault
  return {
    ...figures,
    sure: isSure,
    tankName: tank.name,
    clientName: tank.client.name,
    className: classWords(fault.equipmentClass, names),
    modeWords: modeWords(fault.failureMode, names),
  }
}

export type FaultStory = {
  today: string
  fault: FaultRow
  /** Whether the mode strikes by chance (shape about 1 or less): then cleaning earlier does not help. */
  byChance: boolean
  sign: string
  shape: number | null
  /** This tank first, then the others with the same mode, most needs first. */
  lanes: LaneForChart[]
  visits: { date: string; kind: 'found' | 'reported'; visitId: string | null }[]
  /** Needs per tank over time: this tank, and the mean of the route with its standard error. */
  own: { date: string; count: number }[]
  route: { date: string; mean: number; lower: number; upper: number }[]
}

const LANES_SHOWN = 12

/** One mode over all tanks, seen from one tank. Null where there is no such pair. */
export function faultStory(
  actor: Actor,
  tankId: string,
  equipmentClass: string,
  failureMode: string,
  now: Date,
): Promise<FaultStory | null> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const key = { businessId, tankId, equipmentClass, failureMode }
    const fault = await tx.repeatFault.findUnique({
      where: { businessId_tankId_equipmentClass_failureMode: key },
      include: { tank: { select: { name: true, client: { select: { name: true } } } } },
    })
    if (!fault) return null
    const business = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } })
    const pair = { businessId, equipmentClass, failureMode }
    const include = { tank: { select: { name: true, client: { select: { name: true } } } } }
    const own = await tx.lane.findMany({
      where: { ...pair, tankId },
      include,
      orderBy: [{ events: 'desc' }, { equipmentId: 'asc' }],
    })
    const others = await tx.lane.findMany({
      where: { ...pair, tankId: { not: tankId } },
      include,
      orderBy: [{ events: 'desc' }, { tankId: 'asc' }, { equipmentId: 'asc' }],
      take: LANES_SHOWN,
    })
    const shown = await withMarks(tx, businessId, [...own, ...others].slice(0, Math.max(LANES_SHOWN, own.length)))
    const due = await tx.dueItem.findMany({
      where: { ...pair, equipmentId: { in: shown.map((lane) => lane.equipmentId) } },
    })
    const model = await tx.lifeModel.findFirst({
      where: { businessId, equipmentClass, failureMode, version: fault.modelVersion },
    })
    const names = await ownNames(tx, businessId)
    const tankOf = new Map(shown.map((lane) => [lane.slotId, lane.tank]))
    const needs = shown
      .filter((lane) => lane.tankId === tankId)
      .flatMap((lane) => lane.marks)
      .filter(isNeed)
      .sort((a, b) => a.day - b.day)
    const today = todayIn(business.timeZone, now)
    return {
      today,
      fault: faultRow(fault, names),
      byChance: model?.shape !== null && model?.shape !== undefined && model.shape <= 1.1,
      sign: findMode(failureMode)?.sign ?? '',
      shape: model?.shape ?? null,
      lanes: laneViews(shown, due, (lane) => {
        const tank = tankOf.get(lane.slotId)
        return { label: tank?.name ?? '', sub: tank?.client.name ?? '' }
      }),
      visits: needs.map(({ day, kind, visitId }) => ({ date: isoOfDay(day), kind, visitId })).reverse(),
      own: needs.map(({ day }, index) => ({ date: isoOfDay(day), count: index + 1 })),
      route: overTime(await needsOfPair(tx, businessId, { equipmentClass, failureMode }), dayOf(new Date(today))),
    }
  })
}

type Need = LaneMark & { kind: 'found' | 'reported' }

function isNeed(mark: LaneMark): mark is Need {
  return mark.kind === 'found' || mark.kind === 'reported'
}

/** Mean number of needs per tank by time (Nelson's mean cumulative function), with a 90 % interval. */
function overTime(lanes: readonly LaneNeeds[], todayDay: number): FaultStory['route'] {
  const byTank = new Map<string, { first: number; needs: number[] }>()
  for (const { tankId, firstDay, needDays } of lanes) {
    const before = byTank.get(tankId)
    byTank.set(tankId, {
      first: Math.min(before?.first ?? firstDay, firstDay),
      needs: [...(before?.needs ?? []), ...needDays],
    })
  }
  const start = [...byTank.values()].reduce((first, tank) => Math.min(first, tank.first), todayDay)
  const histories = [...byTank.values()].map((tank) => ({
    start: tank.first - start,
    end: todayDay - start + 1,
    // A need on the first day seen counts just after it: the history starts there.
    events: tank.needs.map((day) => Math.max(day - start, tank.first - start + 0.5)).sort((a, b) => a - b),
  }))
  const steps = histories.length > 0 ? meanCumulativeFunction(histories) : []
  return steps.map((step) => ({
    date: isoOfDay(Math.floor(start + step.time)),
    mean: step.mean,
    lower: Math.max(0, step.mean - 1.645 * step.standardError),
    upper: step.mean + 1.645 * step.standardError,
  }))
}
