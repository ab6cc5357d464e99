import { randomBytes } from 'node:crypto'
import { existsSync, linkSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import path from 'node:path'
import { makeDataFolder } from './data-folder'
import { OperatorError } from './operator-error'

/**
 * A random secret that is made once and then kept in the data folder, readable by its owner only.
 * Two processes that start at once get the same one: the second finds the file of the first.
 */
export function storedSecret(fileName: string): string {
  const file = path.join(makeDataFolder(), fileName)
  if (!existsSync(file)) {
    // Under its name only when it is whole: who starts at the same time never reads half of one.
    const beside = `${file}.${randomBytes(6).toString('hex')}`
    writeFileSync(beside, randomBytes(32).toString('base64url'), { mode: 0o600, flag: 'wx' })
    try {
      linkSync(beside, file)
    } catch (error) {
      if (!(error instanceof Error && 'code' in error && error.code === 'EEXIST')) throw error
    } finally {
      rmSync(beside)
    }
  }
  const secret = readFileSync(file, 'utf8').trim()
  if (secret === '')
    throw new OperatorError(`${file} is empty: remove it, and start again. Everybody signs in once more.`)
  return secret
}
