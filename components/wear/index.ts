export { DeviceReadingsForm } from './device-readings-form'
export { WearChart } from './wear-chart'
export { WearSheet } from './wear-sheet'
