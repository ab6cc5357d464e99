import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { HandOverForm } from '@/components/tanks'
import { requireActor } from '@/lib/office/people/session'
import { findTankForm } from '@/lib/office/tanks/queries'
import { handOverTankAction } from '../../actions'

export const metadata: Metadata = { title: 'Another client takes over' }

export default async function HandOverPage({ params }: { params: Promise<{ tankId: string }> }) {
  const actor = await requireActor('register.change')
  const tankId = z.uuid().safeParse((await params).tankId)
  const tank = tankId.success ? await findTankForm(actor, tankId.data) : null
  if (!tank) notFound()
  const { choices } = tank
  return (
    <>
      <PageHead over={tank.name} title="It goes to another client" />
      <Sheet>
        <HandOverForm
          tankId={tank.id}
          action={handOverTankAction}
          clients={choices.clients.filter((client) => client.value !== tank.clientId)}
          sites={choices.sites}
          today={choices.today}
        />
      </Sheet>
    </>
  )
}
