import { z } from 'zod'
import { accountantFile } from '@/lib/office/money/queries'
import { mayDo } from '@/lib/office/people/role-actions'
import { currentActor } from '@/lib/office/people/session'

const query = z
  .object({ from: z.iso.date(), to: z.iso.date() })
  .refine(({ from, to }) => from <= to, 'The period ends before it begins.')

/** The accountant's file of a period: `?from=2026-11-01&to=2026-11-30`, both days included, one row for each line. */
export async function GET(request: Request): Promise<Response> {
  const actor = await currentActor()
  if (!actor) return new Response('Sign in first.', { status: 401 })
  if (!mayDo(actor.roles, 'books.export')) return new Response('There is no such page.', { status: 404 })
  const parsed = query.safeParse(Object.fromEntries(new URL(request.url).searchParams))
  if (!parsed.success)
    return new Response('Give the first and the last day: ?from=2026-11-01&to=2026-11-30', { status: 400 })
  const { from, to } = parsed.data
  return new Response(await accountantFile(actor, { from, to }), {
    headers: {
      'content-type': 'text/csv; charset=utf-8',
      'content-disposition': `attachment; filename="books-${from}-to-${to}.csv"`,
      'cache-control': 'private, no-store',
    },
  })
}
