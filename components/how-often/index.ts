export { CadenceChart, everyWords, inHundred } from './cadence-chart'
export { wholeMoney } from './whole-money'
