import type { Observation } from './observation'

/** What the trade believes of a life before any finding: normal in log shape and log scale. correlation is 0 when absent. */
export type WeibullPrior = {
  logShape: { mean: number; sd: number }
  logScale: { mean: number; sd: number }
  correlation?: number
}

/**
 * The lives of one mode of one device in one tank. `unknownAge`: the spell that was running at first sight, of unknown age, counted from first sight;
 * it ended in (lower, upper], Infinity when it had not ended by `lower`. It enters by forward recurrence.
 */
export type LifeHistory = {
  tank: string
  device: string
  observations: Observation[]
  unknownAge?: { lower: number; upper: number }
}
