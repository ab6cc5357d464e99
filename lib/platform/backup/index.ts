export { checkBackup } from './check-backup'
export { noteBackup } from './note-backup'
export { restoreBackup } from './restore-backup'
export { writeBackup } from './write-backup'
