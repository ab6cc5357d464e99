import 'server-only'
import { meanCumulativeFunction } from '@/lib/science'
import { findMode } from '@/lib/trade'
import { type Actor, inBusiness } from '../actor'
import { dayOf, isoOfDay, todayIn } from '../due/days'
import { classWords, type LaneForChart, laneViews, modeWords } from '../due/lane-views'
import { ownNames } from '../due/queries'
import { storedMarksSchema } from '../due/stored-reason'

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
    const lanes = await tx.lane.findMany({
      where: { businessId, equipmentClass, failureMode },
      include: { tank: { select: { name: true, client: { select: { name: true } } } } },
      orderBy: [{ events: 'desc' }, { tankId: 'asc' }, { equipmentId: 'asc' }],
    })
    const due = await tx.dueItem.findMany({ where: { businessId, equipmentClass, failureMode } })
    const model = await tx.lifeModel.findFirst({
      where: { businessId, equipmentClass, failureMode, version: fault.modelVersion },
    })
    const names = await ownNames(tx, businessId)
    const own = lanes.filter((lane) => lane.tankId === tankId)
    const shown = [...own, ...lanes.filter((lane) => lane.tankId !== tankId)].slice(0, LANES_SHOWN)
    const tankOf = new Map(lanes.map((lane) => [lane.slotId, lane.tank]))
    const marks = own.flatMap((lane) => storedMarksSchema.parse(lane.marks)).sort((a, b) => a.d - b.d)
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
      visits: marks
        .flatMap((mark) =>
          mark.k === 'found' || mark.k === 'reported'
            ? [{ date: isoOfDay(mark.d), kind: mark.k, visitId: mark.v }]
            : [],
        )
        .reverse(),
      ...overTime(lanes, marks, dayOf(new Date(today))),
    }
  })
}

/** Mean number of needs per tank by time (Nelson's mean cumulative function) beside this tank's own count. */
function overTime(
  lanes: readonly { tankId: string; marks: unknown }[],
  ownMarks: readonly { d: number; k: string }[],
  todayDay: number,
): Pick<FaultStory, 'own' | 'route'> {
  const isNeed = (mark: { k: string }) => mark.k === 'found' || mark.k === 'reported'
  const byTank = new Map<string, { first: number; needs: number[] }>()
  for (const lane of lanes) {
    const marks = storedMarksSchema.parse(lane.marks)
    const first = marks[0]?.d
    if (first === undefined) continue
    const before = byTank.get(lane.tankId)
    byTank.set(lane.tankId, {
      first: Math.min(before?.first ?? first, first),
      needs: [...(before?.needs ?? []), ...marks.filter(isNeed).map((mark) => mark.d)],
    })
  }
  const start = Math.min(...[...byTank.values()].map((tank) => tank.first), todayDay)
  const histories = [...byTank.values()].map((tank) => ({
    start: tank.first - start,
    end: todayDay - start + 1,
    // A need on the first day seen counts just after it: the history starts there.
    events: tank.needs.map((day) => Math.max(day - start, tank.first - start + 0.5)).sort((a, b) => a - b),
  }))
  const steps = histories.length > 0 ? meanCumulativeFunction(histories) : []
  let count = 0
  return {
    own: ownMarks.filter(isNeed).map((mark) => ({ date: isoOfDay(mark.d), count: ++count })),
    route: steps.map((step) => ({
      date: isoOfDay(Math.floor(start + step.time)),
      mean: step.mean,
      lower: Math.max(0, step.mean - 1.645 * step.standardError),
      upper: step.mean + 1.645 * step.standardError,
    })),
  }
}
