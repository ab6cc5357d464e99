import { z } from 'zod'
import { currentActor } from '@/lib/office/people/session'
import { findPhotoFile } from '@/lib/office/photos/queries'

/** One picture, for whoever may see its row; for everybody else it is not there. */
export async function GET(request: Request, { params }: { params: Promise<{ photoId: string }> }): Promise<Response> {
  const photoId = z.uuid().safeParse((await params).photoId)
  const actor = await currentActor()
  const file = actor && photoId.success ? await findPhotoFile(actor, photoId.data) : null
  if (!file) return new Response('Not found', { status: 404, headers: { 'cache-control': 'no-store' } })
  // The bytes of an address never change, but who may see them does: kept by this person's browser only, asked each time.
  const headers = {
    etag: `"${file.sha256}"`,
    'cache-control': 'private, no-cache',
    'x-content-type-options': 'nosniff',
  }
  if (request.headers.get('if-none-match') === headers.etag) {
    await file.stream.cancel()
    return new Response(null, { status: 304, headers })
  }
  const type = { 'content-type': file.mediaType, 'content-length': String(file.sizeBytes) }
  const rest = { 'content-disposition': 'inline', 'content-security-policy': "default-src 'none'; sandbox" }
  return new Response(file.stream, { headers: { ...headers, ...type, ...rest } })
}
