import { mayDo } from '@/lib/office/frame/role-actions'
import { currentActor } from '@/lib/office/people/session'
import { readUpload, refusal } from '@/lib/office/people/upload'
import { addLogo } from '@/lib/office/settings/commands'
import { findLogo } from '@/lib/office/settings/queries'
import { LOGO_FORM_MOST_BYTES, LOGO_WORDS, removeLogoSchema } from '@/lib/office/settings/schema'

/** The logo of the business that asks, for those who see its invoices. */
export async function GET(): Promise<Response> {
  const actor = await currentActor()
  const logo = actor && mayDo(actor.roles, 'invoice.read') ? await findLogo(actor) : null
  if (!logo) return new Response('Not found', { status: 404, headers: { 'cache-control': 'no-store' } })
  return new Response(new Uint8Array(logo.bytes), {
    headers: {
      'content-type': 'image/png',
      'cache-control': 'private, no-cache',
      'x-content-type-options': 'nosniff',
      'content-security-policy': "default-src 'none'; sandbox",
    },
  })
}

/** Takes a logo (multipart form: `file`, `commandId`, `businessId`). */
export async function POST(request: Request): Promise<Response> {
  const sent = await readUpload(request, {
    action: 'settings.change',
    mostBytes: LOGO_FORM_MOST_BYTES,
    words: LOGO_WORDS,
  })
  if (!sent.ok) return sent.response
  const { file, ...fields } = Object.fromEntries(sent.form)
  if (!(file instanceof Blob)) return refusal({ reason: 'invalid', words: LOGO_WORDS.noForm })
  const parsed = removeLogoSchema.safeParse(fields)
  if (!parsed.success) return refusal({ reason: 'invalid', words: LOGO_WORDS.noForm })
  const result = await addLogo(sent.actor, parsed.data, new Uint8Array(await file.arrayBuffer()))
  if (result.ok) return Response.json(result)
  return refusal({ ...result, words: result.words ?? LOGO_WORDS['not-a-picture'] })
}
