import { dryRunImport } from '@/lib/office/old-records/queries'
import { readImportUpload } from '@/lib/office/old-records/read-upload'

/** Looks at the files and says what would be brought; writes nothing and keeps nothing. */
export async function POST(request: Request): Promise<Response> {
  const sent = await readImportUpload(request)
  if (!sent.ok) return sent.response
  return Response.json({ ok: true, value: await dryRunImport(sent.actor, sent.input) })
}
