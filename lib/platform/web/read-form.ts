/**
 * The multipart form in a request, counted while it comes in: 'too-large' as soon as it is longer than allowed, whatever
 * its head claims; 'no-form' where it is none.
 */
export async function readForm(request: Request, mostBytes: number): Promise<FormData | 'too-large' | 'no-form'> {
  const body = await readAtMost(request, mostBytes)
  if (!body) return 'too-large'
  const type = request.headers.get('content-type') ?? ''
  // Throws for whatever is not a whole multipart form.
  return new Response(body, { headers: { 'content-type': type } }).formData().catch(() => 'no-form' as const)
}

async function readAtMost(request: Request, most: number): Promise<Blob | null> {
  if (Number(request.headers.get('content-length') ?? 0) > most) return null
  const chunks: Uint8Array<ArrayBuffer>[] = []
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
  return new Blob(chunks)
}
