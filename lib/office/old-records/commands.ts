/** Bringing old records and taking them back. */
export { bringRecords, type ImportRecordsInput, importRecords } from './import-command'
export { withdrawImport } from './withdraw-command'
