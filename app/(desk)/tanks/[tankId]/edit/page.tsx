import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { EditTankForm } from '@/components/tanks'
import { requireActor } from '@/lib/office/people/session'
import { findTankForm } from '@/lib/office/tanks/queries'
import { editTankAction } from '../../actions'

export const metadata: Metadata = { title: 'Change a tank' }

export default async function EditTankPage({ params }: { params: Promise<{ tankId: string }> }) {
  const actor = await requireActor('register.change')
  const tankId = z.uuid().safeParse((await params).tankId)
  const tank = tankId.success ? await findTankForm(actor, tankId.data) : null
  if (!tank) notFound()
  const { choices } = tank
  return (
    <>
      <PageHead over="Tanks" title={tank.name} />
      <Sheet>
        <EditTankForm
          action={editTankAction}
          sites={choices.sites.filter((site) => site.clientId === tank.clientId)}
          kinds={choices.kinds}
          unitWords={choices.volumeUnitWords}
          tank={tank}
        />
      </Sheet>
    </>
  )
}
