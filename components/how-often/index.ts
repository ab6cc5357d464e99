export { CadenceChart, inHundred } from './cadence-chart'
