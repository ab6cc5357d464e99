import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { EditEquipmentForm, ReplaceEquipmentForm, RetireEquipmentForm } from '@/components/tanks'
import { requireActor } from '@/lib/office/people/session'
import { findDevice } from '@/lib/office/tanks/queries'
import { editEquipmentAction, replaceEquipmentAction, retireEquipmentAction } from '../../../actions'

export const metadata: Metadata = { title: 'A device' }

const ids = z.object({ tankId: z.uuid(), equipmentId: z.uuid() })
type Props = { params: Promise<{ tankId: string; equipmentId: string }> }

export default async function EquipmentPage({ params }: Props) {
  const actor = await requireActor('register.change')
  const asked = ids.safeParse(await params)
  const form = asked.success ? await findDevice(actor, asked.data.tankId, asked.data.equipmentId) : null
  if (!form) notFound()
  const { tank, device, modes, today } = form
  const common = { tankId: tank.id, device }
  return (
    <>
      <PageHead over={tank.name} title={device.label} sub={device.className} />
      <div className="halves">
        {!device.isRemoved && (
          <div className="stack">
            <Sheet title="Another one goes in">
              <ReplaceEquipmentForm {...common} action={replaceEquipmentAction} modes={modes} today={today} />
            </Sheet>
            <Sheet title="Or it comes out for good">
              <RetireEquipmentForm {...common} action={retireEquipmentAction} modes={modes} today={today} />
            </Sheet>
          </div>
        )}
        <Sheet title="Put right what is written">
          <EditEquipmentForm {...common} action={editEquipmentAction} />
        </Sheet>
      </div>
    </>
  )
}
