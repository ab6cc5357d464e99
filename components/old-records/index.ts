export { BringRecords } from './bring-records'
export { ImportReportSheets } from './import-report'
export { ImportsTable } from './imports-table'
export { WithdrawForm } from './withdraw-form'
