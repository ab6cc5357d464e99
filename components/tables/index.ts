export { type Column, DataTable, type DataTableProps } from './data-table'
export { FilterForm, type FilterFormProps } from './filter-form'
