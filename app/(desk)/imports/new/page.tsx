import type { Metadata } from 'next'
import { BringRecords } from '@/components/records'
import { PageHead } from '@/components/shell'
import { requireActor } from '@/lib/office/people/session'
import { fieldChoices } from '@/lib/office/records/queries'
import { bringRecordsAction, lookAtRecordsAction } from '../actions'

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
      <BringRecords
        businessId={actor.businessId}
        fields={fieldChoices()}
        look={lookAtRecordsAction}
        bring={bringRecordsAction}
      />
    </>
  )
}
