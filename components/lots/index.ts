export { AddLotForm, EditLotForm } from './lot-fields'
export { LotShiftSheet } from './lot-shift-sheet'
export { LotTickForm } from './lot-tick-form'
export { VisitLots } from './visit-lots'
