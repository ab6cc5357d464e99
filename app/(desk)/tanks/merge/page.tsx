import type { Metadata } from 'next'
import { z } from 'zod'
import { MergeForm, MergeGroups } from '@/components/clients'
import { Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { duplicateTanks } from '@/lib/office/clients/queries'
import { requireActor } from '@/lib/office/people/session'
import { mergeTanksAction } from '../actions'

export const metadata: Metadata = { title: 'Tanks entered twice' }

const pair = z.object({ keep: z.uuid().catch(''), same: z.uuid().catch('') })
type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function MergePage({ searchParams }: Props) {
  const actor = await requireActor('register.change')
  const { keep, same } = pair.parse(await searchParams)
  const { businessId, groups, choices } = await duplicateTanks(actor)
  return (
    <>
      <PageHead over="Tanks" title="Entered twice?" sub="Two entries for one of your tanks become one." />
      <div className="halves">
        <Sheet title="These look alike">
          <MergeGroups groups={groups} href="/tanks/merge" />
        </Sheet>
        <Sheet title="Merge two entries">
          <MergeForm
            key={`${keep} ${same}`}
            businessId={businessId}
            save={mergeTanksAction}
            choices={choices}
            things="tanks"
            survivorId={keep}
            duplicateId={same}
          />
        </Sheet>
      </div>
    </>
  )
}
