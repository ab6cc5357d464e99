import 'server-only'
import { createHash, randomBytes } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { mkdir, open, readdir, rename, rm, stat } from 'node:fs/promises'
import path from 'node:path'
import { Readable } from 'node:stream'
import { dataFolder } from '@/lib/platform/config/data-folder'

/** Where a file belongs: its key is `business/hash`, so the same picture is kept once, and a store can be emptied business by business. */
export type FilePlace = { businessId: string; sha256: string }

/** A file as a store lists it. */
export type KeptFile = FilePlace & { sizeBytes: number }

/** What keeps files. The folder below is the only one there is; another store has these functions too. */
export type FileStore = {
  /** Keeps the bytes under their own hash; the same bytes again change nothing. Answers the hash. */
  put: (businessId: string, bytes: Uint8Array) => Promise<string>
  /** Keeps what comes under the hash it should have. @throws DamagedFile where it has another; nothing is kept then. */
  keep: (place: FilePlace, content: AsyncIterable<Uint8Array>) => Promise<void>
  /** The bytes as a stream with their number, or null where they are not there. */
  read: (place: FilePlace) => Promise<{ content: Readable; sizeBytes: number } | null>
  /** Every file, sorted by its key. */
  list: () => AsyncIterable<KeptFile>
}

/** A file whose content is not what its name says: the disk or the way here has changed it. */
export class DamagedFile extends Error {
  override name = 'DamagedFile'
}

export const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/
export const SHA256 = /^[0-9a-f]{64}$/

/** Keeps files in a folder of this machine. @throws RangeError for a place that is not made of an id and a hash. */
export function folderStore(folder: string): FileStore {
  const fileOf = ({ businessId, sha256 }: FilePlace) => {
    if (!UUID.test(businessId)) throw new RangeError(`not an id: ${businessId}`)
    if (!SHA256.test(sha256)) throw new RangeError(`not a SHA-256: ${sha256}`)
    return path.join(folder, businessId, sha256)
  }
  const store: FileStore = {
    async put(businessId, bytes) {
      const sha256 = createHash('sha256').update(bytes).digest('hex')
      const found = await stat(fileOf({ businessId, sha256 })).catch(() => null)
      if (found?.size !== bytes.byteLength) await store.keep({ businessId, sha256 }, Readable.from([bytes]))
      return sha256
    },
    async keep(place, content) {
      const target = fileOf(place)
      await mkdir(folder, { recursive: true, mode: 0o700 })
      await mkdir(path.dirname(target), { recursive: true, mode: 0o700 })
      // Written beside and renamed: a file is there whole or not at all, also after a power cut.
      const beside = `${target}.${randomBytes(6).toString('hex')}`
      const hash = createHash('sha256')
      try {
        const handle = await open(beside, 'wx', 0o600)
        try {
          for await (const chunk of content) {
            hash.update(chunk)
            await handle.writeFile(chunk)
          }
          await handle.sync()
        } finally {
          await handle.close()
        }
        if (hash.digest('hex') !== place.sha256)
          throw new DamagedFile(`the file ${place.businessId}/${place.sha256} has another content than its name says`)
        await rename(beside, target)
      } catch (error) {
        await rm(beside, { force: true })
        throw error
      }
      await syncFolder(path.dirname(target))
    },
    async read(place) {
      const file = fileOf(place)
      const found = await stat(file).catch(() => null)
      if (!found?.isFile()) return null
      return { content: createReadStream(file), sizeBytes: found.size }
    },
    async *list() {
      for (const businessId of await namesIn(folder, UUID))
        for (const sha256 of await namesIn(path.join(folder, businessId), SHA256)) {
          const found = await stat(path.join(folder, businessId, sha256)).catch(() => null)
          if (found?.isFile()) yield { businessId, sha256, sizeBytes: found.size }
        }
    },
  }
  return store
}

/** Reads a stored file and says whether it has the content its name says; false also where it is not there. */
export async function isWhole(store: FileStore, place: FilePlace): Promise<boolean> {
  const file = await store.read(place)
  if (!file) return false
  const hash = createHash('sha256')
  for await (const chunk of file.content) hash.update(chunk)
  return hash.digest('hex') === place.sha256
}

/** Where files lie: TANKROUND_FILES, else `files` in the data folder. A backup takes them along. */
export function filesFolder(): string {
  const chosen = process.env.TANKROUND_FILES?.trim()
  return chosen ? path.resolve(chosen) : path.join(dataFolder(), 'files')
}

/** The store of this installation. */
export function fileStore(): FileStore {
  return folderStore(filesFolder())
}

/** The names in a folder that have this form, sorted; none where there is no folder. */
export async function namesIn(folder: string, pattern: RegExp): Promise<string[]> {
  const names = await readdir(folder).catch(() => [])
  return names.filter((name) => pattern.test(name)).sort()
}

/** Names given in a folder are on the disk before a row refers to them. */
export async function syncFolder(folder: string): Promise<void> {
  const handle = await open(folder, 'r')
  try {
    await handle.sync()
  } finally {
    await handle.close()
  }
}
