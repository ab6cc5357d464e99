import type { Metadata } from 'next'
import { Sheet } from '@/components/paper'
import { PartForm } from '@/components/parts'
import { PageHead } from '@/components/shell'
import { partChoices } from '@/lib/office/parts/queries'
import { requireActor } from '@/lib/office/people/session'
import { addPartAction } from '../actions'

export const metadata: Metadata = { title: 'Add a part' }

export default async function NewPartPage() {
  const actor = await requireActor('parts.change')
  const { suppliers, prices, currency } = await partChoices(actor)
  return (
    <>
      <PageHead title="Add a part" over="Parts" sub="Next you say which work uses it and what lies where." />
      <Sheet>
        <PartForm action={addPartAction} {...{ suppliers, prices, currency }} />
      </Sheet>
    </>
  )
}
