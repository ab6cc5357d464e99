export {
  type BusinessResult,
  CALIBRATION_PRIOR,
  type CalibrationSummary,
  calibrateOnce,
  summariseCalibration,
  type Truth,
} from './calibration'
export { type ExposureCell, type PoissonChangePoint, poissonChangePoint } from './change-point'
export { type DegradationLife, degradationLife, type RelativeThreshold, startOfLine } from './degradation'
export { calibrateDelayOnce, type DelayCalibration } from './delay-time-calibration'
export {
  type CentralInterval,
  type DelayTimeDraw,
  type DelayTimeFit,
  fitDelayTime,
  type InspectedUnit,
  type InspectionGap,
  type InspectionOption,
  inspectionOptions,
  type MeanDelayPrior,
} from './delay-time-fit'
export type { Truncation } from './event-history'
export { type EwmaPoint, ewmaChart } from './ewma-chart'
export { benjaminiHochberg } from './false-discovery'
export {
  conditionalQuantile,
  conditionalQuantiles,
  type Life,
  type LifeMixture,
  meanLife,
  quantileOf,
  type RandomSource,
  sampleLife,
  survivalAt,
  type WeibullParameters,
} from './life-distribution'
export type { LifeHistory, WeibullPrior } from './life-history'
export { FRAILTY_PRIOR, fitLifeModel, type LifeModel, thinLifeModel } from './life-model'
export { type LifePosterior, posteriorLife } from './life-posterior'
export { lifeSpreadOf } from './life-spread'
export { likeliestSpread } from './likeliest-spread'
export { type MeanCumulativeStep, meanCumulativeFunction, type RecurrenceHistory } from './mean-cumulative-function'
export { NotEstimable, type NotEstimableCode, type Observation } from './observation'
export { gammaQuantile, poissonRateInterval, poissonUpperTail, probabilityAbove } from './poisson-rate'
export {
  exposureUntilLower,
  type PoissonRateRatio,
  poissonRateRatio,
  type RateSample,
  rateRatioAgainstGamma,
} from './poisson-rate-ratio'
export { type RankSumTest, rankSumTest } from './rank-sum'
export {
  type CountedUnit,
  fitRateSpread,
  type RateSpread,
  rateUnder,
} from './rate-spread'
export { type PathPoint, theilSen, theilSenInterval } from './theil-sen'
export { lewisRobinsonTrendTest, type TrendTest } from './trend-test'
export { type TurnbullMass, turnbull } from './turnbull'
export { type SurvivalBandPoint, turnbullBand } from './turnbull-band'
export { fisherExactUpper, type MantelHaenszel, mantelHaenszel, type TwoByTwo } from './two-by-two'
export { ageAtFirstSight, remainingQuantiles } from './unknown-age'
export { type PolicySaving, policySaving, type VisitPolicyCosts, visitPolicyCosts } from './visit-policies'
export { type VisitCosts, type VisitReplacement, visitReplacement } from './visit-replacement'
export { fitWeibull, type WeibullFit } from './weibull-fit'
export { fitWeibullRegression, type WeibullRegression, type WeibullRegressionRow } from './weibull-regression'
