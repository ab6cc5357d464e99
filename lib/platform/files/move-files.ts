import { link, mkdir, rename, rm, rmdir, stat } from 'node:fs/promises'
import path from 'node:path'
import { namesIn, SHA256, syncFolder, UUID } from './file-store'

/**
 * Gives files of the first version, kept as `business/visit/file/hash`, their place by hash, `business/hash`. Nothing to
 * do where that is done; safe to be cut off and begun again. With `keepFormer` the former names stay too, for a program of the
 * first version that still runs. Answers how many files had a former name.
 */
export async function placeFilesByHash(folder: string, { keepFormer = false } = {}): Promise<number> {
  let found = 0
  for (const businessId of await namesIn(folder, UUID))
    for (const visitId of await namesIn(path.join(folder, businessId), UUID)) {
      const visit = path.join(folder, businessId, visitId)
      for (const fileId of await namesIn(visit, UUID)) {
        for (const sha256 of await namesIn(path.join(visit, fileId), SHA256)) {
          const names = [path.join(visit, fileId, sha256), path.join(folder, businessId, sha256)] as const
          if (keepFormer) await link(...names).catch(unlessThere)
          else await rename(...names).then(() => rm(names[0], { force: true })) // two names of one file: a rename does nothing
          found += 1
        }
        await removeIfEmpty(path.join(visit, fileId))
      }
      await removeIfEmpty(visit)
    }
  return found
}

/**
 * Moves every file of `from` (laid out by business and hash, on the same disk) into `into`; one that is there already is
 * the same by its name. All of them or, where the disk fails, none. Answers those that were not there before, so that a caller can take them back.
 */
export async function moveFilesInto(from: string, into: string): Promise<string[]> {
  const added: string[] = []
  try {
    for (const businessId of await namesIn(from, UUID)) {
      await mkdir(path.join(into, businessId), { recursive: true, mode: 0o700 })
      for (const sha256 of await namesIn(path.join(from, businessId), SHA256)) {
        const target = path.join(into, businessId, sha256)
        if (!(await stat(target).catch(() => null))) added.push(target)
        await rename(path.join(from, businessId, sha256), target)
      }
      await syncFolder(path.join(into, businessId))
    }
  } catch (error) {
    for (const file of added) await rm(file, { force: true })
    throw error
  }
  return added
}

function unlessThere(error: unknown): void {
  if (!(error instanceof Error && 'code' in error && error.code === 'EEXIST')) throw error
}

/** A folder that still holds something unknown stays. */
async function removeIfEmpty(folder: string): Promise<void> {
  await rmdir(folder).catch(() => undefined)
}
