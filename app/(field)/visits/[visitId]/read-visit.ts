import { notFound } from 'next/navigation'
import { z } from 'zod'
import { requireActor } from '@/lib/office/people/session'
import { findVisitPage } from '@/lib/office/visits/queries'

/** The visit in the address, for somebody who may read visits; another business's is not there. */
export async function readVisit(params: Promise<{ visitId: string }>) {
  const actor = await requireActor('visit.read')
  const visitId = z.uuid().safeParse((await params).visitId)
  const visit = visitId.success ? await findVisitPage(actor, visitId.data, new Date()) : null
  if (!visit) notFound()
  return { actor, visit }
}
