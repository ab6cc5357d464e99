import type { Metadata } from 'next'
import { z } from 'zod'
import { MergeForm, MergeGroups } from '@/components/clients'
import { Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { duplicateClients } from '@/lib/office/clients/queries'
import { requireActor } from '@/lib/office/people/session'
import { mergeClientsAction } from '../actions'

export const metadata: Metadata = { title: 'Clients entered twice' }

const pair = z.object({ keep: z.uuid().catch(''), same: z.uuid().catch('') })
type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function MergePage({ searchParams }: Props) {
  const actor = await requireActor('register.change')
  const { keep, same } = pair.parse(await searchParams)
  const { businessId, groups, choices } = await duplicateClients(actor)
  return (
    <>
      <PageHead over="Clients" title="Entered twice?" sub="Two entries for one of your clients become one." />
      <div className="halves">
        <Sheet title="These look alike">
          <MergeGroups groups={groups} href="/clients/merge" />
        </Sheet>
        <Sheet title="Merge two entries">
          <MergeForm
            key={`${keep} ${same}`}
            businessId={businessId}
            save={mergeClientsAction}
            choices={choices}
            things="clients"
            survivorId={keep}
            duplicateId={same}
          />
        </Sheet>
      </div>
    </>
  )
}
