import { revalidatePath } from 'next/cache'
import { importRecords } from '@/lib/office/old-records/commands'
import { readImportUpload } from '@/lib/office/old-records/read-upload'
import { refusal } from '@/lib/office/people/upload'

/** Brings the files in, all or nothing. */
export async function POST(request: Request): Promise<Response> {
  const sent = await readImportUpload(request)
  if (!sent.ok) return sent.response
  const result = await importRecords(sent.actor, sent.input)
  if (!result.ok) return refusal(result)
  revalidatePath('/', 'layout') // every list may have changed
  return Response.json({ ok: true, value: { batchId: result.value.batchId } })
}
