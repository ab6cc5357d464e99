export { type DemandForecast, type DemandSource, demandForecast } from './demand-forecast'
export { type DemandTable, type NewsvendorInput, newsvendor } from './newsvendor'
export { type ReorderPoint, reorderPoint } from './reorder-point'
