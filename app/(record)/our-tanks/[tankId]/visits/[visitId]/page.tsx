import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { RecordVisit } from '@/components/client-record'
import { PageHead, PageLink } from '@/components/shell'
import { recordedVisit } from '@/lib/office/client-record/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'A visit' }

const paramsSchema = z.object({ tankId: z.uuid(), visitId: z.uuid() })

export default async function RecordedVisitPage({ params }: { params: Promise<{ tankId: string; visitId: string }> }) {
  const actor = await requireActor('record.read')
  const parsed = paramsSchema.safeParse(await params)
  const visit = parsed.success ? await recordedVisit(actor, parsed.data.tankId, parsed.data.visitId) : null
  if (!visit || !parsed.success) notFound()
  return (
    <div className="stack">
      <PageHead
        over={<PageLink href={`/our-tanks/${parsed.data.tankId}`}>{visit.tankName}</PageLink>}
        title="A visit"
      />
      <RecordVisit title="What was done" visit={visit} locale={visit.locale} />
    </div>
  )
}
