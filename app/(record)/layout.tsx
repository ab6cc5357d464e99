import type { ReactNode } from 'react'
import { signOutAction } from '@/app/(entry)/actions'
import { OnThisDevice } from '@/components/device'
import { Contact, Who } from '@/components/people'
import { RecordShell } from '@/components/shell'
import { requireFrame } from '@/lib/office/people/frame'

export default async function RecordLayout({ children }: { children: ReactNode }) {
  const { actor, frame } = await requireFrame()
  return (
    <OnThisDevice businessId={actor.businessId} personId={actor.personId}>
      <RecordShell
        businessName={frame.businessName}
        homeHref="/our-tanks"
        signOut={<Who signOut={signOutAction} />}
        contact={<Contact phone={frame.phone} email={frame.email} />}
      >
        {children}
      </RecordShell>
    </OnThisDevice>
  )
}
