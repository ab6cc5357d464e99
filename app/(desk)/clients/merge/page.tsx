import type { Metadata } from 'next'
import { z } from 'zod'
import { MergeForm, MergeGroups } from '@/components/clients'
import { Field } from '@/components/forms'
import { Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { FilterForm } from '@/components/tables'
import { duplicateClients } from '@/lib/office/clients/queries'
import { requireActor } from '@/lib/office/people/session'
import { mergeClientsAction } from '../actions'

export const metadata: Metadata = { title: 'Clients entered twice' }

const pair = z.object({
  keep: z.uuid().catch(''),
  same: z.uuid().catch(''),
  q: z.string().max(100).catch('').default(''),
})
type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function MergePage({ searchParams }: Props) {
  const actor = await requireActor('register.change')
  const { keep, same, q } = pair.parse(await searchParams)
  const { groups, choices, more } = await duplicateClients(actor, { search: q, chosen: [keep, same] })
  return (
    <>
      <PageHead over="Clients" title="Entered twice?" sub="Two entries for one of your clients become one." />
      <div className="halves">
        <Sheet title="These look alike">
          <MergeGroups groups={groups} href="/clients/merge" />
        </Sheet>
        <Sheet title="Merge two entries">
          {(more > 0 || q !== '') && (
            <FilterForm
              action="/clients/merge"
              label="Which clients"
              clearHref={q === '' ? undefined : '/clients/merge'}
            >
              <Field label="Words of their names" name="q" type="search" defaultValue={q} />
            </FilterForm>
          )}
          <MergeForm
            key={`${keep} ${same}`}
            action={mergeClientsAction}
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
