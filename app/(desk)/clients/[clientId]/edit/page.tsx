import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { ClientForm } from '@/components/clients'
import { Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { findClient } from '@/lib/office/clients/queries'
import { requireActor } from '@/lib/office/people/session'
import { editClientAction } from '../../actions'

export const metadata: Metadata = { title: 'Change a client' }

export default async function EditClientPage({ params }: { params: Promise<{ clientId: string }> }) {
  const actor = await requireActor('register.change')
  const clientId = z.uuid().safeParse((await params).clientId)
  const client = clientId.success ? await findClient(actor, clientId.data) : null
  if (!client || client.mergedIntoId) notFound()
  return (
    <>
      <PageHead over="Clients" title={client.fields.name} />
      <Sheet>
        <ClientForm action={editClientAction} client={client} />
      </Sheet>
    </>
  )
}
