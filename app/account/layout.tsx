import type { ReactNode } from 'react'
import { signOutAction } from '@/app/(entry)/actions'
import { OwnShell, SignOut } from '@/components/people'
import { requireFrame } from '@/lib/office/people/frame'
import { navigationOf } from '@/lib/office/people/navigation'
import { firstScreenOf } from '@/lib/office/people/role-actions'

export default async function AccountLayout({ children }: { children: ReactNode }) {
  const { actor, frame } = await requireFrame()
  return (
    <OwnShell
      home={firstScreenOf(actor.roles)}
      businessName={frame.businessName}
      personName={actor.name}
      nav={navigationOf(actor.roles)}
      signOut={<SignOut action={signOutAction} />}
    >
      {children}
    </OwnShell>
  )
}
