/** How many of a part to keep and to order, from what will use it up. Pure. */
import {
  type DemandForecast,
  type DemandSource,
  demandForecast,
  longRunDemand,
  orderQuantity,
  reorderPoint,
} from '@/lib/science'

/** Somebody looks at the list about once a week: what is not ordered today waits so long. Common practice, no source. */
const REVIEW_DAYS = 7
/** What it costs a year to keep goods, as a share of their price: money tied up, room, loss. Common practice, no source. */
const KEEPING_SHARE_PER_YEAR = 0.2
const DAYS_PER_YEAR = 365.25
/** The same part with the same devices always gets the same answer. */
const SEED = 20_130_213

/** What will be used up while waiting, whatever lies on the shelf: the part of the advice that takes long. */
export type PartDemand = {
  /** Days that the stock must last: the supplier's and until somebody looks again. */
  coverDays: number
  forecast: DemandForecast
  perYear: number
}

/** Works it out from everything that uses the part. */
export function demandOf(sources: readonly DemandSource[], leadTimeDays: number): PartDemand {
  const coverDays = leadTimeDays + REVIEW_DAYS
  const forecast = demandForecast(sources, coverDays, SEED)
  const perYear = sources.reduce((sum, source) => sum + longRunDemand(source), 0) * DAYS_PER_YEAR
  return { coverDays, forecast, perYear }
}

export type Stock = {
  serviceLevel: number
  /** In all places together, on paper. */
  onHand: number
  onOrder: number
  packSize: number
  costMinor: number
  orderCostMinor: number
}
export type AdviceInput = Stock & { sources: readonly DemandSource[]; leadTimeDays: number }

export type Advice = PartDemand & {
  /** Order when what is on hand and on its way falls below this. */
  keepAtLeast: number
  /** Chance that so many last. */
  achieved: number
  /** Chance that what is on hand and on its way lasts. */
  lastsChance: number
  /** Cheapest quantity at a time; null where the costs to weigh are not stated. */
  cheapest: number | null
  /** To order now; 0: nothing. */
  orderNow: number
}

/** What to keep and to order, from what uses the part up. */
export function adviseOn({ sources, leadTimeDays, ...stock }: AdviceInput): Advice {
  return adviceFor(demandOf(sources, leadTimeDays), stock)
}

/**
 * What to keep and to order. Kept is the least number that lasts through lead time and review with the wanted chance; ordered is the cheapest quantity at a time, but never
 * less than what is missing, never more than a year's need beyond that, in whole packs.
 */
export function adviceFor(demand: PartDemand, stock: Stock): Advice {
  const { forecast, perYear } = demand
  const { serviceLevel, packSize, costMinor, orderCostMinor } = stock
  const { reorderPoint: keepAtLeast, achieved } = reorderPoint({ probabilities: forecast.probabilities, serviceLevel })
  const position = stock.onHand + stock.onOrder
  const lastsChance = forecast.probabilities.reduce((sum, chance, n) => (n <= position ? sum + chance : sum), 0)
  const cheapest = cheapestOrder({ perYear, packSize, costMinor, orderCostMinor })
  const missing = Math.max(0, keepAtLeast - position)
  const inPacks = (units: number) => Math.ceil(units / packSize - 1e-9) * packSize
  const orderNow =
    missing === 0 ? 0 : Math.max(inPacks(missing), Math.min(cheapest ?? 0, inPacks(Math.max(missing, perYear))))
  return { ...demand, keepAtLeast, achieved, lastsChance: Math.min(1, lastsChance), cheapest, orderNow }
}

type Costs = { perYear: number; packSize: number; costMinor: number; orderCostMinor: number }

function cheapestOrder({ perYear, packSize, costMinor, orderCostMinor }: Costs): number | null {
  if (costMinor <= 0 || orderCostMinor <= 0 || perYear <= 0) return null
  const keepingCost = costMinor * KEEPING_SHARE_PER_YEAR
  return orderQuantity({ demandPerYear: perYear, orderCost: orderCostMinor, keepingCost, packSize }).quantity
}

/** 0.95 → "19 times in 20". */
export function levelInWords(level: number): string {
  for (const outOf of [2, 3, 4, 5, 10, 20, 40, 50, 100, 200]) {
    const times = Math.round(level * outOf)
    if (times < outOf && Math.abs(times / outOf - level) < 1e-9)
      return `${times} ${times === 1 ? 'time' : 'times'} in ${outOf}`
  }
  return `${Math.round(level * 1000)} times in 1,000`
}

/** Why so many, in a sentence for the owner. */
export function keepInWords(
  { keepAtLeast, coverDays }: Advice,
  { serviceLevel, leadTimeDays, devices }: { serviceLevel: number; leadTimeDays: number; devices: number },
): string {
  if (keepAtLeast === 0)
    return devices === 0
      ? 'No device and no use so far says that any will be needed: none has to be kept.'
      : `Hardly one will be needed in the next ${coverDays} days: none has to be kept.`
  const wait =
    leadTimeDays === 0
      ? 'until you look again in a week'
      : `while waiting ${leadTimeDays} ${leadTimeDays === 1 ? 'day' : 'days'} for the supplier and a week until you look again`
  return `Keep at least ${keepAtLeast}: enough ${levelInWords(serviceLevel)} ${wait}.`
}
