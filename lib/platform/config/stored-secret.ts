import { randomBytes } from 'node:crypto'
import { readFileSync, writeFileSync } from 'node:fs'
import path from 'node:path'
import { makeDataFolder } from './data-folder'

/**
 * A random secret that is made once and then kept in the data folder, readable by its owner only.
 * Two processes that start at once get the same one: the second finds the file of the first.
 */
export function storedSecret(fileName: string): string {
  const file = path.join(makeDataFolder(), fileName)
  try {
    writeFileSync(file, randomBytes(32).toString('base64url'), { mode: 0o600, flag: 'wx' })
  } catch (error) {
    if (!(error instanceof Error && 'code' in error && error.code === 'EEXIST')) throw error
  }
  return readFileSync(file, 'utf8').trim()
}
