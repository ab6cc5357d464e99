import type { ReactNode } from 'react'
import { FieldShell } from '@/components/shell'
import { requireFrame } from '@/lib/office/people/frame'
import { fieldNavigationOf } from '@/lib/office/people/navigation'

export default async function FieldLayout({ children }: { children: ReactNode }) {
  const { actor } = await requireFrame()
  return (
    <FieldShell title={actor.name} homeHref="/route" nav={fieldNavigationOf(actor.roles)}>
      {children}
    </FieldShell>
  )
}
