import 'server-only'
import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { mkdir, open, readdir, rename, rm, stat } from 'node:fs/promises'
import path from 'node:path'
import { Readable } from 'node:stream'
import { dataFolder } from '@/lib/platform/config/data-folder'

/** Where a file belongs: its key is `business/visit/uuid/hash`, so that a store can be emptied business by business. */
export type FilePlace = { businessId: string; visitId: string; fileId: string; sha256: string }

/** What keeps files. The folder below is the only one there is; another store has these four functions too. */
export type FileStore = {
  /** Keeps the bytes under their own hash; the same bytes again change nothing. Answers the hash. */
  put: (place: Omit<FilePlace, 'sha256'>, bytes: Uint8Array) => Promise<string>
  /** The bytes as a stream with their number, or null where they are not there. */
  read: (place: FilePlace) => Promise<{ stream: ReadableStream<Uint8Array>; sizeBytes: number } | null>
  has: (place: FilePlace) => Promise<boolean>
  /** Takes a file away; not an error where it is already gone. */
  remove: (place: FilePlace) => Promise<void>
}

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/
const SHA256 = /^[0-9a-f]{64}$/

/** Keeps files in a folder of this machine. @throws RangeError for a place that is not made of ids and a hash. */
export function folderStore(folder: string): FileStore {
  const directoryOf = ({ businessId, visitId, fileId }: Omit<FilePlace, 'sha256'>) => {
    for (const id of [businessId, visitId, fileId]) if (!UUID.test(id)) throw new RangeError(`not an id: ${id}`)
    return path.join(folder, businessId, visitId, fileId)
  }
  const fileOf = (place: FilePlace) => {
    if (!SHA256.test(place.sha256)) throw new RangeError(`not a SHA-256: ${place.sha256}`)
    return path.join(directoryOf(place), place.sha256)
  }
  return {
    async put(place, bytes) {
      const sha256 = createHash('sha256').update(bytes).digest('hex')
      const target = fileOf({ ...place, sha256 })
      await mkdir(path.dirname(target), { recursive: true, mode: 0o700 })
      // Written beside and renamed: a file is there whole or not at all, also after a power cut.
      const beside = `${target}.${process.pid}.${Math.random().toString(36).slice(2)}`
      const handle = await open(beside, 'wx', 0o600)
      try {
        await handle.writeFile(bytes)
        await handle.sync()
      } finally {
        await handle.close()
      }
      await rename(beside, target)
      return sha256
    },
    async read(place) {
      const file = fileOf(place)
      const found = await stat(file).catch(() => null)
      if (!found?.isFile()) return null
      // Node's own web stream is the platform's; the two type declarations differ in name only.
      const stream = Readable.toWeb(createReadStream(file)) as ReadableStream<Uint8Array>
      return { stream, sizeBytes: found.size }
    },
    async has(place) {
      const found = await stat(fileOf(place)).catch(() => null)
      return found?.isFile() ?? false
    },
    async remove(place) {
      await rm(fileOf(place), { force: true })
      const directory = directoryOf(place)
      const rest = await readdir(directory).catch(() => null)
      if (rest?.length === 0) await rm(directory, { recursive: true, force: true })
    },
  }
}

/** Where files lie: TANKROUND_FILES, else `files` in the data folder. A backup takes this folder along. */
export function filesFolder(): string {
  const chosen = process.env.TANKROUND_FILES?.trim()
  return chosen ? path.resolve(chosen) : path.join(dataFolder(), 'files')
}

/** The store of this installation. */
export function fileStore(): FileStore {
  return folderStore(filesFolder())
}
