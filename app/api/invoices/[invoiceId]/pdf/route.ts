import { z } from 'zod'
import { mayDo } from '@/lib/office/frame/role-actions'
import { invoiceFile } from '@/lib/office/money/queries'
import { currentActor } from '@/lib/office/people/session'

type Context = { params: Promise<{ invoiceId: string }> }

/**
 * The PDF of an invoice, credit note or draft: as issued, or with `?standing=now` with what was paid and credited since.
 * The database shows a client only its own issued documents; whatever else was asked for does not exist.
 */
export async function GET(request: Request, { params }: Context): Promise<Response> {
  const actor = await currentActor()
  if (!actor) return new Response('Sign in first.', { status: 401 })
  const invoiceId = z.uuid().safeParse((await params).invoiceId)
  if (!invoiceId.success || !mayDo(actor.roles, 'invoice.read')) return notThere()
  const standing = new URL(request.url).searchParams.get('standing') === 'now'
  const file = await invoiceFile(actor, invoiceId.data, { standing })
  if (!file) return notThere()
  return new Response(new Uint8Array(file.bytes), {
    headers: {
      'content-type': 'application/pdf',
      'content-disposition': `inline; filename="${file.fileName}"`,
      'cache-control': 'private, no-store',
    },
  })
}

function notThere(): Response {
  return new Response('There is no such invoice.', { status: 404 })
}
