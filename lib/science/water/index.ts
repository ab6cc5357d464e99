export type { Compound, Ion, Raised } from './compounds'
export { consumptionPerDay, type DailyConsumption } from './consumption-per-day'
export {
  type AlkalinityUnit,
  convertAlkalinity,
  convertHardness,
  convertNutrient,
  type HardnessUnit,
  type NutrientForm,
} from './conversions'
export { type Dose, type DosePlan, doseFor, doseOverDays, riseFor } from './dose'
export { type DrainDown, drainDown } from './drain-down'
export { type HeaterPower, heaterPower } from './heater-power'
export { oxygenSaturation } from './oxygen-saturation'
export { practicalSalinity, salinityFromConductivity } from './practical-salinity'
export {
  type BalanceVerdict,
  type Estimate,
  type SaltAndWaterBalance,
  saltAndWaterBalance,
} from './salt-and-water-balance'
export { seawaterDensity } from './sea-water-density'
export { salinityFromSpecificGravity, specificGravity } from './specific-gravity'
export { type TopOffDrift, topOffDrift } from './top-up-drift'
export { type PhScale, type UnionisedAmmonia, unionisedAmmonia } from './unionised-ammonia'
export { type WaterChangeNeeded, waterChange, waterChangeNeeded } from './water-change'
