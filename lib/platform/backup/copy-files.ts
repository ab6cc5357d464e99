import { DamagedFile, type FileStore, isWhole, type KeptFile } from '@/lib/platform/files/file-store'
import { damaged, pathOf } from './format'

export type FilesCopied = { kept: KeptFile[]; copied: number; damagedFiles: string[] }

/** Within so many nights each copy is read once to its end. Common practice, no source. */
const READ_AGAIN_DAYS = 28

/** Whether a copy's turn to be read has come: decided by its name, so that every night has its share. */
const isInTurn = ({ sha256 }: KeptFile, now: Date) =>
  Number.parseInt(sha256.slice(0, 8), 16) % READ_AGAIN_DAYS === Math.floor(now.getTime() / 86_400_000) % READ_AGAIN_DAYS

/**
 * Copies those files of `from` that `beside` does not have yet, or has with another size, and reads each copy back; of the older
 * copies a share every night, and copies anew what its disk has changed. Answers all that `beside` now has of them. A file whose
 * content has changed is left out and named, unless a good copy of it is there from before.
 */
export async function copyFilesBeside(from: FileStore, beside: FileStore, now: Date): Promise<FilesCopied> {
  const sizes = new Map<string, number>()
  for await (const one of beside.list()) sizes.set(pathOf(one), one.sizeBytes)
  const outcome: FilesCopied = { kept: [], copied: 0, damagedFiles: [] }
  for await (const one of from.list()) {
    if (sizes.get(pathOf(one)) === one.sizeBytes && (!isInTurn(one, now) || (await isWhole(beside, one)))) {
      outcome.kept.push(one)
      continue
    }
    const file = await from.read(one)
    if (!file) continue // taken away since it was listed
    try {
      await beside.keep(one, file.content)
      if (!(await isWhole(beside, one))) throw damaged(`a copy of the file ${pathOf(one)} cannot be read back`)
      outcome.kept.push(one)
      outcome.copied += 1
    } catch (error) {
      if (!(error instanceof DamagedFile)) throw error
      outcome.damagedFiles.push(pathOf(one))
      const before = sizes.get(pathOf(one))
      if (before !== undefined && (await isWhole(beside, one))) outcome.kept.push({ ...one, sizeBytes: before })
    }
  }
  return outcome
}
