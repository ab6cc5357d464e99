import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { Sheet } from '@/components/paper'
import { ReservoirForm } from '@/components/refills'
import { PageHead } from '@/components/shell'
import { requireActor } from '@/lib/office/people/session'
import { findNewReservoir } from '@/lib/office/refills/queries'
import { addReservoirAction } from '../actions'

export const metadata: Metadata = { title: 'Set up a container' }

export default async function NewReservoirPage({ params }: { params: Promise<{ tankId: string }> }) {
  const actor = await requireActor('register.change')
  const tankId = z.uuid().safeParse((await params).tankId)
  const form = tankId.success ? await findNewReservoir(actor, tankId.data) : null
  if (!form) notFound()
  const { tankName, businessId: _, ...rest } = form
  return (
    <>
      <PageHead over={tankName} title="Set up a container" sub="What has to last from one visit to the next." />
      <Sheet>
        <ReservoirForm {...rest} action={addReservoirAction} />
      </Sheet>
    </>
  )
}
