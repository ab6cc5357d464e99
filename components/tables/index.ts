export { type Column, DataTable } from './data-table'
export { FilterForm } from './filter-form'
