import type { ReactNode } from 'react'
import { signOutAction } from '@/app/(entry)/actions'
import { Contact, Who } from '@/components/people'
import { RecordShell } from '@/components/shell'
import { requireFrame } from '@/lib/office/people/frame'

export default async function RecordLayout({ children }: { children: ReactNode }) {
  const { frame } = await requireFrame()
  return (
    <RecordShell
      businessName={frame.businessName}
      homeHref="/our-tanks"
      signOut={<Who signOut={signOutAction} />}
      contact={<Contact phone={frame.phone} email={frame.email} />}
    >
      {children}
    </RecordShell>
  )
}
