import { PageLink } from '@/components/shell'
import type { FormAction } from '@/lib/office/frame/schema'
import { SignOut } from './sign-out'

/** The two things everybody can do with their own sign-in, for the corner of a frame. */
export function Who({ signOut }: { signOut: FormAction }) {
  return (
    <>
      <PageLink href="/account">My account</PageLink> <SignOut action={signOut} />
    </>
  )
}
