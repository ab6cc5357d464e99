import 'server-only'
import { z } from 'zod'
import type { Actor } from '../frame/actor'
import { invalid, OTHER_BUSINESS } from '../frame/result'
import { readUpload, refusal } from '../people/upload'
import { IMPORT_FORM_MOST_BYTES, IMPORT_WORDS, importFormSchema } from './schema'

type ImportForm = Omit<z.output<typeof importFormSchema>, 'files'> & { files: { name: string; bytes: Uint8Array }[] }

/** The files and choices of an import out of a request, or the response that refuses them in words. */
export async function readImportUpload(
  request: Request,
): Promise<{ ok: true; actor: Actor; input: ImportForm } | { ok: false; response: Response }> {
  const upload = { action: 'records.import', mostBytes: IMPORT_FORM_MOST_BYTES, words: IMPORT_WORDS } as const
  const sent = await readUpload(request, upload)
  if (!sent.ok) return sent
  const { actor, form } = sent
  const parsed = importFormSchema.safeParse({
    ...Object.fromEntries(['businessId', 'commandId', 'options', 'mapping'].map((name) => [name, form.get(name)])),
    files: form.getAll('files'),
  })
  if (!parsed.success) {
    const { fieldErrors } = z.flattenError(parsed.error)
    const words = fieldErrors.files?.[0] ?? IMPORT_WORDS.noForm
    return { ok: false, response: refusal(invalid(fieldErrors, words)) }
  }
  const { files, ...rest } = parsed.data
  if (rest.businessId !== actor.businessId) return { ok: false, response: refusal(OTHER_BUSINESS) }
  const read = files.map(async (file) => ({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) }))
  return { ok: true, actor, input: { ...rest, files: await Promise.all(read) } }
}
