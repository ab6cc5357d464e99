import type { Metadata } from 'next'
import { redirect } from 'next/navigation'
import { SignInForm } from '@/components/people'
import { PageHead } from '@/components/shell'
import { noBusinessYet } from '@/lib/office/people/first-run'
import { currentActor } from '@/lib/office/people/session'
import { signInAction } from './actions'

export const metadata: Metadata = { title: 'Sign in' }

export default async function SignInPage() {
  if (await currentActor()) redirect('/')
  if (await noBusinessYet()) redirect('/first-run')
  return (
    <div className="stack">
      <PageHead title="Sign in" />
      <SignInForm action={signInAction} />
      <p className="soft small">
        Forgotten your password? Ask the owner of the business for a one-time link. An owner finds the way back in the
        installation guide.
      </p>
    </div>
  )
}
