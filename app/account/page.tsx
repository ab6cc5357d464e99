import type { Metadata } from 'next'
import { signOutAction } from '@/app/(entry)/actions'
import { ConfirmForm } from '@/components/forms'
import { Facts, Sheet } from '@/components/paper'
import { BusinessList, ChangePasswordForm, roleWords, SignOut } from '@/components/people'
import { RefusedEntriesTable } from '@/components/settings'
import { PageHead } from '@/components/shell'
import { readAccount } from '@/lib/office/people/account'
import { requireActor, requireSession } from '@/lib/office/people/session'
import { listRefusedEntries } from '@/lib/office/settings/refused-entries'
import { changePasswordAction, signOutEverywhereAction, switchBusinessAction } from './actions'

export const metadata: Metadata = { title: 'My account' }

export default async function AccountPage() {
  const actor = await requireActor('account.change')
  const { claims } = await requireSession()
  const { email, memberships } = await readAccount(claims)
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
          <BusinessList memberships={memberships} presentId={claims.membershipId} action={switchBusinessAction} />
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
      <Sheet title="Every device">
        <ConfirmForm ask="Sign out everywhere" confirm="Yes, sign out everywhere" action={signOutEverywhereAction}>
          Every phone and computer that is signed in with {email} is signed out, this one too.
        </ConfirmForm>
      </Sheet>
    </>
  )
}
