export { DeviceReadingsForm } from './device-readings-form'

export { WearSheet } from './wear-sheet'
