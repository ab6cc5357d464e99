import type { Metadata } from 'next'
import { redirect } from 'next/navigation'
import { SignInForm } from '@/components/people'
import { PageHead } from '@/components/shell'
import { safeBackPath } from '@/lib/office/people/back-path'
import { noBusinessYet } from '@/lib/office/people/first-run'
import { currentActor } from '@/lib/office/people/session'
import { signInAction } from './actions'

export const metadata: Metadata = { title: 'Sign in' }

type Props = { searchParams: Promise<{ back?: string | string[] }> }

export default async function SignInPage({ searchParams }: Props) {
  const back = safeBackPath((await searchParams).back)
  if (await currentActor()) redirect(back)
  if (await noBusinessYet()) redirect('/first-run')
  return (
    <div className="stack">
      <PageHead title="Sign in" />
      <SignInForm action={signInAction} back={back} />
      <p className="soft small">
        Forgotten your password? Ask the owner of the business for a one-time link. An owner finds the way back in the
        installation guide.
      </p>
    </div>
  )
}
