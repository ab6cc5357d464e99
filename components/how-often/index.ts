export { CadenceChart, everyWords } from './cadence-chart'
export { wholeMoney } from './whole-money'
