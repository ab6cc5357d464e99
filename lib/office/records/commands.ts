/** Bringing old records and taking them back. */
export { type Imported, type ImportRecordsInput, importRecords } from './import-command'
export { type Withdrawn, type WithdrawReason, withdrawImport } from './withdraw-command'
