import type { Metadata } from 'next'
import { Empty } from '@/components/paper'
import { ResetForm } from '@/components/people'
import { PageHead } from '@/components/shell'
import { readReset } from '@/lib/office/people/use-links'
import { resetAction } from './actions'

export const metadata: Metadata = { title: 'New password', robots: { index: false } }

export default async function ResetPage({ params }: { params: Promise<{ token: string }> }) {
  const { token } = await params
  const link = await readReset(token)
  if (!link)
    return (
      <Empty title="This link is no longer good">
        It was used, taken back, or has run out. Ask for a new one where you got this one.
      </Empty>
    )
  return (
    <>
      <PageHead title="New password" sub="Afterwards every device that is signed in with this address is signed out." />
      <ResetForm action={resetAction} token={token} email={link.email} />
    </>
  )
}
