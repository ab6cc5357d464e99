import type { Metadata } from 'next'
import { z } from 'zod'
import { SiteForm } from '@/components/clients'
import { Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { siteFormChoices } from '@/lib/office/clients/queries'
import { requireActor } from '@/lib/office/people/session'
import { addSiteAction } from '../../actions'

export const metadata: Metadata = { title: 'Add a site' }

const query = z.object({ client: z.uuid().catch('') })
type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function NewSitePage({ searchParams }: Props) {
  const actor = await requireActor('register.change')
  const { client } = query.parse(await searchParams)
  const { clients } = await siteFormChoices(actor)
  return (
    <>
      <PageHead over="Clients" title="Add a site" sub="Where tanks stand, how to get in, and whom to ask for." />
      <Sheet>
        <SiteForm action={addSiteAction} clients={clients} clientId={client} />
      </Sheet>
    </>
  )
}
