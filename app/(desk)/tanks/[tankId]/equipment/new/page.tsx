import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { Notice, Sheet } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { AddEquipmentForm } from '@/components/tanks'
import { requireActor } from '@/lib/office/people/session'
import { findNewDevice } from '@/lib/office/tanks/queries'
import { addEquipmentAction } from '../../../actions'

export const metadata: Metadata = { title: 'Add a device' }

type Props = {
  params: Promise<{ tankId: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export default async function NewEquipmentPage({ params, searchParams }: Props) {
  const actor = await requireActor('register.change')
  const tankId = z.uuid().safeParse((await params).tankId)
  const form = tankId.success ? await findNewDevice(actor, tankId.data) : null
  if (!form) notFound()
  const { slot: wanted } = z.object({ slot: z.uuid().catch('') }).parse(await searchParams)
  const slot = form.emptySlots.find((row) => row.id === wanted)
  const here = `/tanks/${form.tank.id}/equipment/new`
  return (
    <>
      <PageHead over={form.tank.name} title={slot ? `Into the place of ${slot.label}` : 'Add a device'} />
      {!slot && form.emptySlots.length > 0 && (
        <Notice title="Places kept for another device">
          {form.emptySlots.map((row) => (
            <p key={row.id}>
              <PageLink href={`${here}?slot=${row.id}`}>{row.label}</PageLink>
            </p>
          ))}
        </Notice>
      )}
      <Sheet>
        <AddEquipmentForm
          key={slot?.id ?? ''}
          tankId={form.tank.id}
          action={addEquipmentAction}
          classes={slot ? form.classes.filter((entry) => entry.value === slot.equipmentClass) : form.classes}
          {...(slot ? { slot } : {})}
        />
      </Sheet>
    </>
  )
}
