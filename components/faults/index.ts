export { ChangeSheet } from './change-sheet'
export { FaultsTabs } from './faults-tabs'
export { HintsSheet } from './hints-sheet'
export { RemedySheet } from './remedy-sheet'
