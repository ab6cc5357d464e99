import type { ReactNode } from 'react'
import { signOutAction } from '@/app/(entry)/actions'
import { OnThisDevice } from '@/components/device'
import { OwnShell, SignOut } from '@/components/people'
import { firstScreenOf } from '@/lib/office/frame/role-actions'
import { requireFrame } from '@/lib/office/people/frame'
import { navigationOf } from '@/lib/office/people/navigation'

export default async function AccountLayout({ children }: { children: ReactNode }) {
  const { actor, frame } = await requireFrame()
  return (
    <OnThisDevice businessId={actor.businessId} personId={actor.personId}>
      <OwnShell
        home={firstScreenOf(actor.roles)}
        businessName={frame.businessName}
        personName={actor.name}
        nav={navigationOf(actor.roles)}
        signOut={<SignOut action={signOutAction} />}
      >
        {children}
      </OwnShell>
    </OnThisDevice>
  )
}
