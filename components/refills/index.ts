export { LevelForm } from './level-form'
export { RefillSheet, withoutLabel } from './refill-sheet'
export { ReservoirForm } from './reservoir-form'

export { VisitLevels } from './visit-levels'
