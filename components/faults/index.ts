export { ChangeSheet } from './change-sheet'
export { FaultsTabs } from './faults-tabs'
export { HintsSheet } from './hints-sheet'
export { RemedySheet, type RemedyView } from './remedy-sheet'
