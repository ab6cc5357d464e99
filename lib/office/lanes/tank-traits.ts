/** What is ticked of a tank's surroundings and life; which faults come sooner with it is asked of these. */
export const TANK_TRAIT_COLUMNS = {
  hasStringyRefugium: true,
  hasFineSand: true,
  isHeavilyStocked: true,
  hasFurryPets: true,
  hasHardTapWater: true,
  isNearKitchenOrSmoke: true,
} as const
