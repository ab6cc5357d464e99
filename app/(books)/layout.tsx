import type { ReactNode } from 'react'
import { signOutAction } from '@/app/(entry)/actions'
import { Who } from '@/components/people'
import { BooksShell } from '@/components/shell'
import { requireFrame } from '@/lib/office/people/frame'
import { navigationOf } from '@/lib/office/people/navigation'

export default async function BooksLayout({ children }: { children: ReactNode }) {
  const { actor, frame } = await requireFrame()
  return (
    <BooksShell
      businessName={frame.businessName}
      personName={actor.name}
      nav={navigationOf(actor.roles)}
      signOut={<Who signOut={signOutAction} />}
    >
      {children}
    </BooksShell>
  )
}
