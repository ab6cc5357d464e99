export { DriversSheet } from './drivers-sheet'
export { rangeWords } from './range-words'
