/** Costs in minor units of the business's money. */
export type DueCosts = {
  /** Renewed when it was its turn. */
  planned: number
  /** Found needed at a visit. */
  found: number
  /** The client called and somebody drove out. */
  callOut: number
  /** Each day between the need and its discovery. */
  hiddenCostPerDay: number
  /** Share of needs that the client reports before we look, 0 to 1. */
  shareReported: number
}
