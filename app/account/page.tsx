import type { Metadata } from 'next'
import { signOutAction } from '@/app/(entry)/actions'
import { Facts, Sheet } from '@/components/paper'
import {
  BusinessList,
  ChangePasswordForm,
  roleWords,
  SessionTable,
  SignOut,
  SignOutEverywhere,
} from '@/components/people'
import { RefusedEntriesTable } from '@/components/settings'
import { PageHead } from '@/components/shell'
import { readAccount } from '@/lib/office/people/account'
import { requireActor, requireSession } from '@/lib/office/people/session'
import { listSessions } from '@/lib/office/people/sessions'
import { listRefusedEntries } from '@/lib/office/settings/refused-entries'
import { changePasswordAction, endSessionAction, signOutEverywhereAction, switchBusinessAction } from './actions'

export const metadata: Metadata = { title: 'My account' }

export default async function AccountPage() {
  const actor = await requireActor('account.change')
  const { session } = await requireSession()
  const { email, memberships } = await readAccount(session)
  const sessions = await listSessions(session, new Date())
  const refusedEntries = await listRefusedEntries(actor)
  return (
    <>
      <PageHead title="My account" actions={<SignOut action={signOutAction} />} />
      <Sheet title="How you sign in">
        <Facts
          items={[
            { term: 'E-mail address', value: email },
            { term: 'Name', value: actor.name },
            { term: 'As', value: roleWords(actor.roles) },
          ]}
        />
      </Sheet>
      {memberships.length > 1 && (
        <Sheet title="Your businesses">
          <BusinessList memberships={memberships} presentId={session.membershipId} action={switchBusinessAction} />
        </Sheet>
      )}
      {refusedEntries.length > 0 && (
        <Sheet title="Entries that were not taken over" tone="call">
          <RefusedEntriesTable entries={refusedEntries} />
        </Sheet>
      )}
      <Sheet title="Password">
        <ChangePasswordForm action={changePasswordAction} email={email} />
      </Sheet>
      <Sheet title="Where you are signed in">
        <SessionTable sessions={sessions} action={endSessionAction} />
        <SignOutEverywhere action={signOutEverywhereAction} email={email} />
      </Sheet>
    </>
  )
}
