import { notFound } from 'next/navigation'
import { z } from 'zod'
import { newId } from '@/lib/new-id'
import { requireActor } from '@/lib/office/people/session'
import { findVisitPage } from '@/lib/office/visits/queries'

/** The visit in the address, for somebody who may read visits; another business's is not there. */
export async function readVisit(params: Promise<{ visitId: string }>) {
  const actor = await requireActor('visit.read')
  const visitId = z.uuid().safeParse((await params).visitId)
  const visit = visitId.success ? await findVisitPage(actor, visitId.data, new Date()) : null
  if (!visit) notFound()
  /** What each form of the page sends along: fresh ids at each rendering, so that a resend of one is harmless. */
  const ids = () => ({ businessId: visit.businessId, visitId: visit.visitId, commandId: newId() })
  return { actor, visit, ids }
}
