import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import path from 'node:path'
import { checkoutFolder } from '@/lib/platform/config/data-folder'

/** What the built screens are made from, below the checkout. The composition roots beside them are not built. */
const BUILT_FOLDERS = ['app', 'components', 'lib', 'prisma', 'public']
const NOT_BUILT = path.join('lib', 'entry')

/** One hash over the names and contents of all files the built screens are made from. */
export function hashOfSources(): string {
  const root = checkoutFolder()
  const files = BUILT_FOLDERS.flatMap((folder) => filesBelow(root, folder))
  for (const entry of readdirSync(root, { withFileTypes: true }))
    if (entry.isFile() && /^[^.].*\.(ts|mjs|cjs|js|json)$/.test(entry.name) && entry.name !== 'next-env.d.ts')
      files.push(entry.name)
  return hashOfFiles(...files.sort())
}

function filesBelow(root: string, folder: string): string[] {
  if (!existsSync(path.join(root, folder))) return []
  return readdirSync(path.join(root, folder), { withFileTypes: true }).flatMap((entry) => {
    const file = path.join(folder, entry.name)
    if (entry.name.startsWith('.') || file === NOT_BUILT) return []
    return entry.isDirectory() ? filesBelow(root, file) : [file]
  })
}

/** The hash of the names and contents of some files of the checkout, for a stamp. */
export function hashOfFiles(...files: string[]): string {
  const hash = createHash('sha256')
  for (const file of files)
    hash
      .update(`${file}\0`)
      .update(readFileSync(path.join(checkoutFolder(), file)))
      .update('\0')
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
