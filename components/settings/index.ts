export { BusinessForm } from './business-form'
export { CostsForm } from './costs-form'
export { RefusedEntriesTable } from './refused-entries-table'
export { SettingsTabs } from './settings-tabs'
