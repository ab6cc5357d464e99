import type { Metadata } from 'next'
import { Empty } from '@/components/paper'
import { JoinForm } from '@/components/people'
import { PageHead } from '@/components/shell'
import { readInvitation } from '@/lib/office/people/use-links'
import { joinAction } from './actions'

export const metadata: Metadata = { title: 'Invitation', robots: { index: false } }

export default async function InvitationPage({ params }: { params: Promise<{ token: string }> }) {
  const { token } = await params
  const invitation = await readInvitation(token)
  if (!invitation)
    return (
      <Empty title="This link is no longer good">
        It was used, taken back, or has run out. Ask the owner of the business for a new one.
      </Empty>
    )
  const { businessName, personName, email, hasLogin } = invitation
  return (
    <>
      <PageHead title={`Join ${businessName}`} sub={`This invitation is for ${personName}.`} />
      <JoinForm action={joinAction} token={token} email={email} hasLogin={hasLogin} />
    </>
  )
}
