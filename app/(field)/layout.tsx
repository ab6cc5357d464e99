import type { ReactNode } from 'react'
import { OnThisDevice } from '@/components/device'
import { FieldShell } from '@/components/shell'
import { requireFrame } from '@/lib/office/people/frame'
import { fieldNavigationOf } from '@/lib/office/people/navigation'

export default async function FieldLayout({ children }: { children: ReactNode }) {
  const { actor } = await requireFrame()
  return (
    <OnThisDevice businessId={actor.businessId} personId={actor.personId}>
      <FieldShell title={actor.name} homeHref="/route" nav={fieldNavigationOf(actor.roles)}>
        {children}
      </FieldShell>
    </OnThisDevice>
  )
}
