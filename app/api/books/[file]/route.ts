import { z } from 'zod'
import type { Actor } from '@/lib/office/frame/actor'
import { mayDo } from '@/lib/office/frame/role-actions'
import { readPeriod } from '@/lib/office/money/period'
import {
  accountantFile,
  debtorsFile,
  paymentsFile,
  statementFile,
  statementPaper,
  taxFile,
} from '@/lib/office/money/queries'
import { currentActor } from '@/lib/office/people/session'

const query = z.object({
  from: z.string().max(20).optional(),
  to: z.string().max(20).optional(),
  client: z.uuid().optional().catch(undefined),
  basis: z.enum(['issue', 'service', 'cash']).optional().catch(undefined),
})

type Asked = { actor: Actor; from: string; to: string; client: string; basis: 'issue' | 'service' | 'cash' | undefined }
/** Every file of the books by its address, and what it is called when it is kept. */
const FILES: Record<string, { name: string; make: (asked: Asked) => AsyncGenerator<string> }> = {
  csv: { name: 'books', make: ({ actor, from, to }) => accountantFile(actor, { from, to }) },
  payments: { name: 'payments', make: ({ actor, from, to }) => paymentsFile(actor, { from, to }) },
  tax: { name: 'tax', make: ({ actor, from, to, basis }) => taxFile(actor, { from, to }, basis) },
  debtors: { name: 'debtors', make: ({ actor, to }) => debtorsFile(actor, to) },
  statement: { name: 'statement', make: ({ actor, client, from, to }) => statementFile(actor, client, { from, to }) },
}

type Context = { params: Promise<{ file: string }> }

/**
 * A file of the books: `csv` (lines), `payments`, `tax`, `debtors` (as at `to`), `statement` and `statement-pdf` (of `client`), each for
 * `?from=2026-11-01&to=2026-11-30`, both days included. Days that make no period lead to the page that says so.
 */
export async function GET(request: Request, { params }: Context): Promise<Response> {
  const actor = await currentActor()
  if (!actor) return new Response('Sign in first.', { status: 401 })
  const { file } = await params
  const asked = query.safeParse(Object.fromEntries(new URL(request.url).searchParams))
  if (!mayDo(actor.roles, 'books.export') || !asked.success) return notThere()
  const { client = '', basis } = asked.data
  const period = readPeriod(asked.data)
  const { from = period.to, to } = period
  if (period.words !== null || !from || !to) {
    const said = new URLSearchParams({ from: asked.data.from ?? '', to: asked.data.to ?? '' })
    return new Response(null, { status: 303, headers: { location: `/books?${said}` } })
  }
  if (file === 'statement-pdf') return paper(actor, client, { from, to })
  const known = FILES[file]
  if (!known || (file === 'statement' && client === '')) return notThere()
  const pieces = known.make({ actor, from, to, client, basis })
  const first = await pieces.next()
  if (first.done) return notThere()
  return new Response(streamOf(first.value, pieces), {
    headers: {
      'content-type': 'text/csv; charset=utf-8',
      'content-disposition': `attachment; filename="${known.name}-${from}-to-${to}.csv"`,
      'cache-control': 'private, no-store',
    },
  })
}

async function paper(actor: Actor, clientId: string, period: { from: string; to: string }): Promise<Response> {
  const made = clientId === '' ? null : await statementPaper(actor, clientId, period)
  if (!made) return notThere()
  return new Response(new Uint8Array(made.bytes), {
    headers: {
      'content-type': 'application/pdf',
      'content-disposition': `inline; filename="${made.fileName}"`,
      'cache-control': 'private, no-store',
    },
  })
}

const notThere = () => new Response('There is no such page.', { status: 404 })

/** Piece by piece as the reader takes it; whoever stops reading ends the work. */
function streamOf(first: string, pieces: AsyncGenerator<string>): ReadableStream<Uint8Array> {
  const encoder = new TextEncoder()
  return new ReadableStream({
    start(controller) {
      controller.enqueue(encoder.encode(first))
    },
    async pull(controller) {
      const { value, done } = await pieces.next()
      if (done) controller.close()
      else controller.enqueue(encoder.encode(value))
    },
    async cancel() {
      await pieces.return(undefined)
    },
  })
}
