import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { findMode } from '@/lib/trade'
import { ownNames } from '../due/queries'
import { type Actor, inBusiness } from '../frame/actor'
import { dayIn } from '../frame/days'
import { dayOf } from '../lanes/day-numbers'
import { withMarks } from '../lanes/lane-marks'
import { type LaneForChart, laneViews } from '../lanes/lane-views'
import { shapeWords } from '../lanes/life-words'
import { storedLivesSchema } from '../lanes/stored-reason'
import { changeSinceWords, type LikeliestChange, likeliestChange, type SinceView, type Trend, trendOf } from './changes'
import { type FaultRow, faultRow, WITH_TANK } from './fault-row'
import { firstDayOnRecord, whyNotThatDay } from './first-day'
import { type HintsView, readHints } from './hints'
import { type NeedRow, needRows } from './need-rows'
import { type MeanPoint, meanOverTime, type OwnPoint, ownCount, readWatchedTanks } from './over-time'
import { readFaultCells } from './read-cells'
import { type WatchedRemedy, watchRemedies } from './remedies'

export type FaultStory = {
  today: string
  fault: FaultRow
  /** Whether the mode strikes by chance (shape about 1 or less): then cleaning earlier does not help. */
  byChance: boolean
  sign: string
  shape: number | null
  /** This tank first, then the others with the same mode, most needs first. */
  lanes: LaneForChart[]
  /** Each need with whether the count holds it, newest first. */
  visits: NeedRow[]
  /** Needs over time: this tank's count, and the mean of the tanks with such a device. */
  own: OwnPoint[]
  mean: MeanPoint[]
  remedies: WatchedRemedy[]
  /** The day asked about, and what changed since. */
  since: (SinceView & { date: string }) | null
  /** Why the day asked about says nothing; null where it does. */
  sinceProblem: string | null
  likeliest: LikeliestChange
  trend: Trend
  hints: HintsView
}

const LANES_SHOWN = 6

type Asked = { tankId: string; equipmentClass: string; failureMode: string; since?: string }

/** One mode over all tanks, seen from one tank. Null where there is no such pair. */
export function faultStory(actor: Actor, { since, ...asked }: Asked, now: Date): Promise<FaultStory | null> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const fault = await tx.repeatFault.findUnique({
      where: { businessId_tankId_equipmentClass_failureMode: { businessId, ...asked } },
      include: WITH_TANK,
    })
    if (!fault) return null
    const { timeZone } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } })
    const today = dayIn(timeZone, now)
    const { tankId, ...mode } = asked
    const model = await tx.lifeModel.findFirst({ where: { businessId, ...mode, version: fault.modelVersion } })
    const watched = await readWatchedTanks(tx, businessId, mode)
    const first = await firstDayOnRecord(tx, businessId, tankId)
    const sinceProblem = since === undefined ? null : whyNotThatDay(since, { today, first, isRemedy: false })
    const cells = (await readFaultCells(tx, businessId, [{ ...asked, modelVersion: fault.modelVersion }]))(asked)
    return {
      today,
      fault: faultRow(fault, await ownNames(tx, businessId)),
      byChance: model?.shape !== null && model?.shape !== undefined && shapeWords(model.shape) === 'by chance',
      sign: findMode(mode.failureMode)?.sign ?? '',
      shape: model?.shape ?? null,
      ...(await lanesAndVisits(tx, businessId, asked)),
      own: ownCount(watched.find((tank) => tank.tankId === tankId)?.needDays ?? []),
      mean: meanOverTime(watched),
      remedies: await watchRemedies(
        tx,
        businessId,
        [{ ...asked, modelVersion: fault.modelVersion }],
        dayOf(new Date(today)),
      ),
      since:
        since === undefined || sinceProblem !== null
          ? null
          : { ...changeSinceWords(cells, dayOf(new Date(since))), date: since },
      sinceProblem,
      likeliest: likeliestChange(cells),
      trend: trendOf(cells),
      hints: await readHints(tx, businessId, asked, today),
    }
  })
}

async function lanesAndVisits(
  tx: Transaction,
  businessId: string,
  { tankId, ...mode }: Omit<Asked, 'since'>,
): Promise<Pick<FaultStory, 'lanes' | 'visits'>> {
  // Which lanes are shown is found without their lives, which are long: of thousands a handful is then read in full.
  const keys = await tx.$queryRaw<{ equipmentId: string; own: boolean }[]>`
    SELECT equipment_id AS "equipmentId", own FROM (
      SELECT equipment_id, tank_id = ${tankId}::uuid AS own,
        row_number() OVER (PARTITION BY tank_id = ${tankId}::uuid ORDER BY events DESC, tank_id, equipment_id) AS place
      FROM lane WHERE business_id = ${businessId}::uuid AND equipment_class = ${mode.equipmentClass} AND failure_mode = ${mode.failureMode}
    ) lanes WHERE own OR place <= ${LANES_SHOWN} ORDER BY own DESC, place`
  const lanesHere = keys.filter(({ own }) => own).length
  const inTurn = keys.slice(0, Math.max(LANES_SHOWN, lanesHere)).map(({ equipmentId }) => equipmentId)
  const read = await tx.lane.findMany({
    where: { businessId, ...mode, equipmentId: { in: inTurn } },
    include: WITH_TANK,
  })
  const place = new Map(inTurn.map((equipmentId, at) => [equipmentId, at]))
  const lanes = read.toSorted((a, b) => (place.get(a.equipmentId) ?? 0) - (place.get(b.equipmentId) ?? 0))
  const shown = await withMarks(tx, businessId, lanes)
  const due = await tx.dueItem.findMany({
    where: { businessId, ...mode, equipmentId: { in: shown.map((lane) => lane.equipmentId) } },
  })
  const tankOf = new Map(shown.map((lane) => [lane.slotId, lane.tank]))
  return {
    lanes: laneViews(shown, due, (lane) => {
      const tank = tankOf.get(lane.slotId)
      return { label: tank?.name ?? '', sub: tank?.client.name ?? '' }
    }),
    visits: needRows(
      shown
        .filter((lane) => lane.tankId === tankId)
        .map(({ lives, marks }) => ({ lives: storedLivesSchema.parse(lives), marks })),
    ),
  }
}
