import { PageLink } from '@/components/shell'
import { SignOut } from './sign-out'

/** The two things everybody can do with their own sign-in, for the corner of a frame. */
export function Who({ signOut }: { signOut: () => Promise<void> }) {
  return (
    <>
      <PageLink href="/account">My account</PageLink> <SignOut action={signOut} />
    </>
  )
}
