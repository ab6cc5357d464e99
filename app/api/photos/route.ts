import { readUpload, refusal } from '@/lib/office/people/upload'
import { addPhoto } from '@/lib/office/photos/commands'
import { PHOTO_FORM_MOST_BYTES, PHOTO_WORDS, photoUploadSchema } from '@/lib/office/photos/schema'

/** Takes one picture of a visit (multipart form: `file` and the fields of `photoUploadSchema`). */
export async function POST(request: Request): Promise<Response> {
  const sent = await readUpload(request, { action: 'photo.add', mostBytes: PHOTO_FORM_MOST_BYTES, words: PHOTO_WORDS })
  if (!sent.ok) return sent.response
  const { file, ...fields } = Object.fromEntries(sent.form)
  if (!(file instanceof Blob)) return refusal({ reason: 'invalid', words: PHOTO_WORDS.noForm })
  const parsed = photoUploadSchema.safeParse(fields)
  if (!parsed.success)
    return refusal({ reason: 'invalid', words: parsed.error.issues[0]?.message ?? 'Something is missing.' })
  const result = await addPhoto(sent.actor, parsed.data, new Uint8Array(await file.arrayBuffer()))
  if (result.ok) return Response.json(result)
  return refusal({ ...result, words: result.words ?? 'This picture was not taken.' })
}
