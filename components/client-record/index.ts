export { AskForm } from './ask-form'
export { RecordVisit } from './record-visit'
export { WaterTable } from './water-table'
