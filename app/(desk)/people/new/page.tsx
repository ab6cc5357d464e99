import type { Metadata } from 'next'
import { PersonForm } from '@/components/people'
import { PageHead } from '@/components/shell'
import { requireActor } from '@/lib/office/people/session'
import { addPersonAction } from '../actions'

export const metadata: Metadata = { title: 'Add a person' }

export default async function NewPersonPage() {
  await requireActor('people.change')
  return (
    <>
      <PageHead title="Add a person" over="People" sub="Letting them sign in comes next, if they should." />
      <PersonForm action={addPersonAction} />
    </>
  )
}
