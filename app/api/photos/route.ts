import { currentActor } from '@/lib/office/people/session'
import { addPhoto } from '@/lib/office/photos/commands'
import { photoUploadSchema } from '@/lib/office/photos/schema'

/** The picture itself may have 15 MB; a little more for the words around it. */
const MOST_BODY_BYTES = 15 * 1024 * 1024 + 64 * 1024

/** Takes one picture of a visit (multipart form: `file` and the fields of `photoUploadSchema`). */
export async function POST(request: Request): Promise<Response> {
  const actor = await currentActor()
  if (!actor) return answer(401, 'Sign in again; the picture is still on your phone.')
  // Browsers say where a request comes from: a form on another site must not add pictures.
  const origin = request.headers.get('origin')
  if (origin !== null && new URL(origin).host !== request.headers.get('host')) return answer(403, 'Not from here.')
  const body = await readAtMost(request, MOST_BODY_BYTES)
  if (!body) return answer(413, 'This picture is larger than 15 MB. Send a smaller one.')
  const type = request.headers.get('content-type') ?? ''
  const form = await new Response(body, { headers: { 'content-type': type } }).formData().catch(() => null)
  const file = form?.get('file')
  if (!form || !(file instanceof Blob)) return answer(400, 'There is no picture in this.')
  const { file: _, ...fields } = Object.fromEntries(form)
  const parsed = photoUploadSchema.safeParse(fields)
  if (!parsed.success) return answer(400, parsed.error.issues[0]?.message ?? 'Something is missing.')
  const result = await addPhoto(actor, parsed.data, new Uint8Array(await file.arrayBuffer()))
  if (result.ok) return Response.json(result)
  const words = result.words ?? 'This picture was not taken.'
  return Response.json({ ...result, words }, { status: result.reason === 'too-large' ? 413 : 422 })
}

function answer(status: number, words: string): Response {
  return Response.json({ ok: false, reason: 'invalid', words }, { status })
}

/** The whole body, or null as soon as it is longer than allowed, whatever its head claims. */
async function readAtMost(request: Request, most: number): Promise<Uint8Array<ArrayBuffer> | null> {
  if (Number(request.headers.get('content-length') ?? 0) > most) return null
  const chunks: Uint8Array[] = []
  let total = 0
  const reader = request.body?.getReader()
  while (reader) {
    const { done, value } = await reader.read()
    if (done) break
    total += value.byteLength
    if (total > most) {
      await reader.cancel()
      return null
    }
    chunks.push(value)
  }
  const whole = new Uint8Array(total)
  let at = 0
  for (const chunk of chunks) {
    whole.set(chunk, at)
    at += chunk.byteLength
  }
  return whole
}
