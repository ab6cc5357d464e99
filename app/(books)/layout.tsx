import type { ReactNode } from 'react'
import { signOutAction } from '@/app/(entry)/actions'
import { OnThisDevice } from '@/components/device'
import { Who } from '@/components/people'
import { BooksShell } from '@/components/shell'
import { requireFrame } from '@/lib/office/people/frame'
import { navigationOf } from '@/lib/office/people/navigation'

export default async function BooksLayout({ children }: { children: ReactNode }) {
  const { actor, frame } = await requireFrame()
  return (
    <OnThisDevice businessId={actor.businessId} personId={actor.personId}>
      <BooksShell
        businessName={frame.businessName}
        personName={actor.name}
        nav={navigationOf(actor.roles)}
        signOut={<Who signOut={signOutAction} />}
      >
        {children}
      </BooksShell>
    </OnThisDevice>
  )
}
