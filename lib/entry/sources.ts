import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import path from 'node:path'
import { checkoutFolder } from '@/lib/platform/config/data-folder'

/** Folders whose content does not end up in the built screens. */
const NOT_BUILT = new Set(['node_modules', 'generated', 'tests', 'docs', 'coverage', 'test-results'])

/** One hash over the names and contents of all files the built screens are made from. */
export function hashOfSources(): string {
  const hash = createHash('sha256')
  const walk = (folder: string) => {
    const entries = readdirSync(folder, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1))
    for (const entry of entries) {
      if (entry.name.startsWith('.') || NOT_BUILT.has(entry.name)) continue
      const file = path.join(folder, entry.name)
      if (entry.isDirectory()) walk(file)
      else if (entry.isFile() && !/\.(md|tsbuildinfo)$|^next-env\.d\.ts$/.test(entry.name))
        hash.update(path.relative(checkoutFolder(), file)).update('\0').update(readFileSync(file)).update('\0')
    }
  }
  walk(checkoutFolder())
  return hash.digest('hex')
}

/** The hash of some files, for a stamp. */
export function hashOfFiles(...files: string[]): string {
  const hash = createHash('sha256')
  for (const file of files) hash.update(readFileSync(path.join(checkoutFolder(), file)))
  return hash.digest('hex')
}

/** Does the stamp file say that this was done for this hash? */
export function isStamped(stampFile: string, hash: string): boolean {
  const stamp = path.join(checkoutFolder(), stampFile)
  return existsSync(stamp) && readFileSync(stamp, 'utf8') === hash
}

/** Notes that it was done for this hash. */
export function writeStamp(stampFile: string, hash: string): void {
  writeFileSync(path.join(checkoutFolder(), stampFile), hash)
}
