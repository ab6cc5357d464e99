export { ChoiceChart } from './choice-chart'
export { CostChart } from './cost-chart'
export { clockWords, DayBars } from './day-bars'
export { LikelyBars } from './likely-bars'
export { MeanCountChart, type MeanCountPoint } from './mean-count-chart'
export { ReadingsChart } from './readings-chart'

export { SurvivalChart } from './survival-chart'
