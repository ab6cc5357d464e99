import { notFound } from 'next/navigation'
import { z } from 'zod'
import type { Actor } from '@/lib/office/frame/actor'
import { requireActor } from '@/lib/office/people/session'
import { findVisitPage } from '@/lib/office/visits/queries'

/** The visit in the address, for somebody who may read visits; another business's is not there. */
export function readVisit(params: Promise<{ visitId: string }>) {
  return readVisitAs(findVisitPage, params)
}

/** The same with what a step needs besides: `find` is the query of that step. */
export async function readVisitAs<Page>(
  find: (actor: Actor, visitId: string, now: Date) => Promise<Page | null>,
  params: Promise<{ visitId: string }>,
): Promise<{ actor: Actor; visit: Page }> {
  const actor = await requireActor('visit.read')
  const visitId = z.uuid().safeParse((await params).visitId)
  const visit = visitId.success ? await find(actor, visitId.data, new Date()) : null
  if (!visit) notFound()
  return { actor, visit }
}
