import 'server-only'
import { type CentralInterval, fitDelayTime, type InspectionGap } from '@/lib/science'
import { DELAY_PRIOR, type HowOften, howOften, missingForHowOften, type VisitingCosts } from '@/lib/trade'
import { type Actor, inBusiness } from '../frame/actor'
import { dayIn } from '../frame/days'
import { answerTo, type Question } from '../frame/stored-answer'
import { dayOf, isoOfDay } from '../lanes/day-numbers'
import { moneyInWords } from '../lanes/money-in-words'
import { readCadences } from '../lanes/read-history'
import { readVisitingCosts } from './read-costs'
import { inspectedTanks, type LeftOutVisits, ROUTE_GAPS, readGaps, readLeftOutVisits } from './read-gaps'
import { readObjections } from './read-objections'

export type HowOftenPage = {
  tank: { id: string; name: string; clientId: string; clientName: string }
  currency: string
  locale: string
  presentDays: number
  /** Counted over the tanks that the answer rests on. */
  route: { tanks: number; visits: number; found: number; failed: number }
  /** Of this tank, newest first. */
  stretches: { from: string; to: string; days: number; found: number; failed: number; visitId: string }[]
  /** What is missing for an answer; null where there is one. */
  missing: string | null
  answer: HowOften | null
  /** Days from "needs it" to "failed", over the route. */
  meanDelayDays: CentralInterval | null
  /** Defects a year in this tank. */
  defectsPerYear: CentralInterval | null
  costs: VisitingCosts
  visitMinutes: number
  isStated: boolean
  isClientStated: boolean
  /** Visits brought from older records, which are silent about failures. */
  importedVisits: number
  /** What speaks against coming as rarely as the answer says, in words. */
  objections: string[]
  /** Own visits that end no stretch, for not everything was looked at. */
  leftOut: LeftOutVisits
}

const DAYS_PER_YEAR = 365.25

/** How often to come to one tank, with all that stands behind it. Null when there is no such tank. */
export function howOftenAt(actor: Actor, tankId: string, now: Date): Promise<HowOftenPage | null> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const tank = await tx.tank.findUnique({
      where: { businessId_id: { businessId, id: tankId } },
      select: {
        name: true,
        clientId: true,
        client: { select: { name: true } },
        business: { select: { currency: true, locale: true, timeZone: true } },
      },
    })
    if (!tank) return null
    const today = new Date(dayIn(tank.business.timeZone, now))
    const [own] = await readGaps(tx, businessId, dayOf(today), [tankId])
    const known = await answerTo(tx, businessId, ROUTE_GAPS, now)
    const onRoute = inspectedTanks(known?.answer ?? [])
    const gaps = [...(own ? [own] : []), ...onRoute.filter((other) => other.tankId !== tankId)]
    const presentDays = (await readCadences(tx, businessId, [tankId]))(tankId)
    const tankCosts = (await readVisitingCosts(tx, businessId, [tankId], today))(tankId)
    const route = countRoute(gaps)
    const missing =
      own === undefined
        ? 'There are no two visits of ours to this tank yet.'
        : known === null
          ? 'What the other tanks tell is still being worked out. Look again in a minute.'
          : missingForHowOften(route)
    const fit = missing === null ? fitDelayTime(unitsOf(gaps), DELAY_PRIOR) : null
    const unit = fit?.units.find((one) => one.unit === tankId)
    const { costs } = tankCosts
    const answer = unit ? howOften(unit, costs, presentDays, await moneyInWords(tx, businessId)) : null
    const objectionsTo = await readObjections(tx, businessId, answer?.change ? [tankId] : [], dayOf(today))
    return {
      tank: { id: tankId, name: tank.name, clientId: tank.clientId, clientName: tank.client.name },
      currency: tank.business.currency,
      locale: tank.business.locale,
      presentDays,
      route,
      stretches: (own?.gaps ?? []).toReversed().map(({ fromDay, toDay, length, found, failed, visitId }) => ({
        ...{ from: isoOfDay(fromDay), to: isoOfDay(toDay), days: length, found, failed, visitId },
      })),
      missing,
      answer,
      objections: answer?.change ? objectionsTo(tankId, { presentDays, days: answer.cheapest.days }) : [],
      meanDelayDays: fit?.meanDelay ?? null,
      defectsPerYear: unit ? perYear(unit.defectRate) : null,
      ...tankCosts,
      importedVisits: await tx.visit.count({ where: { businessId, tankId, importBatchId: { not: null } } }),
      leftOut: await readLeftOutVisits(tx, businessId, dayOf(today), tankId),
    }
  })
}

export type CadenceRow = {
  tankId: string
  tankName: string
  clientName: string
  presentDays: number
  /** Something was stated of what a failure costs at this client. */
  isClientStated: boolean
  answer: HowOften
  /** What speaks against coming as rarely as the answer says, in words. */
  objections: string[]
}
export type CadenceList = {
  currency: string
  locale: string
  route: HowOftenPage['route']
  missing: string | null
  meanDelayDays: CentralInterval | null
  /** Where another cadence would pay first, most certain first; so many of all that were weighed. */
  rows: CadenceRow[]
  weighed: number
  toChange: number
  /** Tanks without two visits of ours. */
  silent: number
}

const ROWS_SHOWN = 100

/** All tanks, those first where another cadence would pay. */
export const CADENCE_LIST: Question<CadenceList> = {
  name: 'cadence-list',
  shape: 1,
  freshForMs: 36 * 3_600_000,
  workOut: async (tx, businessId, now) => {
    const business = await tx.business.findUniqueOrThrow({
      where: { id: businessId },
      select: { currency: true, locale: true, timeZone: true },
    })
    const today = new Date(dayIn(business.timeZone, now))
    const tanks = await tx.tank.findMany({
      where: { businessId, archivedAt: null, mergedIntoId: null },
      select: { id: true, name: true, client: { select: { name: true } } },
      orderBy: { id: 'asc' },
    })
    const gaps = await readGaps(tx, businessId, dayOf(today), null)
    const route = countRoute(gaps)
    const missing = missingForHowOften(route)
    const fit = missing === null ? fitDelayTime(unitsOf(gaps), DELAY_PRIOR) : null
    const tankIds = tanks.map(({ id }) => id)
    const presentOf = await readCadences(tx, businessId, tankIds)
    const costsOf = await readVisitingCosts(tx, businessId, tankIds, today)
    const formatMoney = await moneyInWords(tx, businessId)
    const units = new Map((fit?.units ?? []).map((unit) => [unit.unit, unit]))
    const rows = tanks.flatMap(({ id, name, client }): CadenceRow[] => {
      const unit = units.get(id)
      if (!unit) return []
      const presentDays = presentOf(id)
      const { costs, isClientStated } = costsOf(id)
      const answer = howOften(unit, costs, presentDays, formatMoney)
      return [
        { tankId: id, tankName: name, clientName: client.name, presentDays, isClientStated, answer, objections: [] },
      ]
    })
    const toChange = rows.filter(({ answer }) => answer.change)
    const objectionsTo = await readObjections(
      tx,
      businessId,
      toChange.map(({ tankId }) => tankId),
      dayOf(today),
    )
    for (const row of toChange)
      row.objections = objectionsTo(row.tankId, { presentDays: row.presentDays, days: row.answer.cheapest.days })
    const { currency, locale } = business
    return {
      ...{ currency, locale, route, missing, meanDelayDays: fit?.meanDelay ?? null },
      rows: rows.sort(byWorth).slice(0, ROWS_SHOWN),
      ...{ weighed: rows.length, toChange: toChange.length },
      silent: fit ? tanks.length - rows.length : 0,
    }
  },
}

/** The list; null where it is not worked out yet. */
export function cadences(actor: Actor, now: Date): Promise<CadenceList | null> {
  return inBusiness(actor, async (tx) => (await answerTo(tx, actor.businessId, CADENCE_LIST, now))?.answer ?? null)
}

/** Where the costs of a failure were stated the answer rests on more than the drive out, so those stand first among equals. */
function byWorth(row: CadenceRow, otherRow: CadenceRow): number {
  const [one, other] = [row.answer, otherRow.answer]
  if (one.change !== other.change) return one.change ? -1 : 1
  if (row.isClientStated !== otherRow.isClientStated) return row.isClientStated ? -1 : 1
  return other.cheapest.chanceCheaper - one.cheapest.chanceCheaper || other.saving - one.saving
}

type InspectedTank = { tankId: string; gaps: readonly InspectionGap[] }

function countRoute(gaps: readonly InspectedTank[]): HowOftenPage['route'] {
  const all = gaps.flatMap((tank) => tank.gaps)
  return {
    tanks: gaps.length,
    visits: all.length + gaps.length,
    found: all.reduce((sum, { found }) => sum + found, 0),
    failed: all.reduce((sum, { failed }) => sum + failed, 0),
  }
}

const unitsOf = (gaps: readonly InspectedTank[]) => gaps.map(({ tankId, gaps: own }) => ({ unit: tankId, gaps: own }))

function perYear({ median, lower, upper }: CentralInterval): CentralInterval {
  return { median: median * DAYS_PER_YEAR, lower: lower * DAYS_PER_YEAR, upper: upper * DAYS_PER_YEAR }
}
