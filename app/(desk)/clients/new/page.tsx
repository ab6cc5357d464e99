import type { Metadata } from 'next'
import { ClientForm } from '@/components/clients'
import { Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { requireActor } from '@/lib/office/people/session'
import { addClientAction } from '../actions'

export const metadata: Metadata = { title: 'Add a client' }

export default async function NewClientPage() {
  await requireActor('register.change')
  return (
    <>
      <PageHead over="Clients" title="Add a client" sub="Who pays. Sites and tanks come next." />
      <Sheet>
        <ClientForm action={addClientAction} />
      </Sheet>
    </>
  )
}
