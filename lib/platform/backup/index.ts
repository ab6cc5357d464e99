export { type Restored, restoreBackup } from './restore-backup'
export { type BackupWritten, hashFile, writeBackup } from './write-backup'
