export { ClientCostForm } from './client-cost-form'
export { IntervalSheet } from './interval-sheet'
export { OwnIntervalForm } from './own-interval-form'
export { ProposalForm } from './proposal-form'
