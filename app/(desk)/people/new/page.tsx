import type { Metadata } from 'next'
import { PersonForm } from '@/components/people'
import { PageHead } from '@/components/shell'
import { newId } from '@/lib/new-id'
import { requireActor } from '@/lib/office/people/session'
import { addPersonAction } from '../actions'

export const metadata: Metadata = { title: 'Add a person' }

export default async function NewPersonPage() {
  const { businessId } = await requireActor('people.change')
  return (
    <>
      <PageHead title="Add a person" over="People" sub="Letting them sign in comes next, if they should." />
      <PersonForm action={addPersonAction} hidden={{ commandId: newId(), businessId }} />
    </>
  )
}
