import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { SiteForm } from '@/components/clients'
import { Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { findSiteForm } from '@/lib/office/clients/queries'
import { requireActor } from '@/lib/office/people/session'
import { editSiteAction } from '../../../actions'

export const metadata: Metadata = { title: 'Change a site' }

export default async function EditSitePage({ params }: { params: Promise<{ siteId: string }> }) {
  const actor = await requireActor('register.change')
  const siteId = z.uuid().safeParse((await params).siteId)
  const site = siteId.success ? await findSiteForm(actor, siteId.data) : null
  if (!site || site.mergedIntoId) notFound()
  return (
    <>
      <PageHead over="Sites" title={site.fields.name} />
      <Sheet>
        <SiteForm action={editSiteAction} clients={site.clients} site={site} />
      </Sheet>
    </>
  )
}
