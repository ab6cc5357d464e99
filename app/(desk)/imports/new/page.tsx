import type { Metadata } from 'next'
import { BringRecords } from '@/components/old-records'
import { PageHead } from '@/components/shell'
import { fieldChoices } from '@/lib/office/old-records/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Bring in old records' }

export default async function NewImportPage() {
  const actor = await requireActor('records.import')
  return (
    <>
      <PageHead
        over="Old records"
        title="Bring in old records"
        sub="Choose the files, look at what was understood, and bring them in. Nothing is kept before you say so."
      />
      <BringRecords businessId={actor.businessId} fields={fieldChoices()} />
    </>
  )
}
