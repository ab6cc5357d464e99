import { OperatorError } from '@/lib/platform/config/operator-error'
import { type FilePlace, type FileStore, folderStore, isWhole } from '@/lib/platform/files/file-store'
import { type About, folderBeside, type Manifest, pathOf, placeOf } from './format'
import { readArchive } from './read-archive'

/**
 * Reads a backup to its end and changes nothing: structure, counts and hashes of every table, files within; of files beside
 * that they are there with their size, or, with `everyFile`, their content too.
 * Errors: OperatorError in words where it is damaged or files are missing.
 */
export async function checkBackup(
  file: string,
  { everyFile = false }: { everyFile?: boolean } = {},
): Promise<{ about: About; manifest: Manifest }> {
  for await (const part of readArchive(file)) {
    if (part.kind === 'file') for await (const _ of part.content);
    if (part.kind !== 'end') continue
    const { about, manifest } = part
    if (about.files === 'beside') {
      const beside = folderStore(folderBeside(file))
      const missing = await missingBeside(beside, manifest, everyFile)
      if (missing.length > 0) throw filesMissing(file, missing, manifest)
    }
    return { about, manifest }
  }
  throw new Error('the reader ended without an end or an error')
}

/** Those files of a manifest that a store does not have, or not with their size; with `everyFile` not with their content. */
async function missingBeside(beside: FileStore, manifest: Manifest, everyFile: boolean): Promise<FilePlace[]> {
  const sizes = new Map<string, number>()
  for await (const one of beside.list()) sizes.set(pathOf(one), one.sizeBytes)
  const missing: FilePlace[] = []
  for (const { path, bytes } of manifest.files) {
    const place = placeOf(path)
    if (!place) continue
    if (sizes.get(path) !== bytes || (everyFile && !(await isWhole(beside, place)))) missing.push(place)
  }
  return missing
}

/** What is said where files are not beside their archive. */
export function filesMissing(file: string, missing: readonly FilePlace[], manifest: Manifest): OperatorError {
  const first = missing[0] ? ` (the first is ${pathOf(missing[0])})` : ''
  return new OperatorError(
    `${missing.length} of the ${manifest.files.length} files of this backup are missing or changed in ${folderBeside(file)}${first}. Copy the folder "files" that stood beside the backup next to it.`,
  )
}
