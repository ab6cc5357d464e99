export { DriversSheet } from './drivers-sheet'
