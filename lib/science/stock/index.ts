export { type Consumption, chanceLasts, consumptionOf, daysUntilEmpty, neededFor } from './consumption'
export { type DemandForecast, demandForecast } from './demand-forecast'
export {
  type CountedSource,
  type DemandSource,
  longRunDemand,
  needChance,
  type WearingSource,
} from './demand-source'
export { addNeeds, chanceShort, demandOfNeeds, type Need, type Probabilities } from './demand-table'
export {
  intervalsOfUse,
  type LeftOut,
  type LevelIntervals,
  type LevelRecord,
  type UseInterval,
} from './level-intervals'
export type { LifeSpread } from './life-in-doubt'
export { type DemandTable, type NewsvendorInput, newsvendor } from './newsvendor'
export { type OrderQuantity, orderQuantity } from './order-quantity'
export { type ReorderInput, type ReorderPoint, reorderPoint } from './reorder-point'
