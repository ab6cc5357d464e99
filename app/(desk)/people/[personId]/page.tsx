import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { Step } from '@/components/forms'
import { dateWords, Facts, Sheet } from '@/components/paper'
import { InviteForm, PersonForm, ResetLinkForm, RolesForm, roleWords, stateWords } from '@/components/people'
import { PageHead } from '@/components/shell'
import { type Access, findPerson, type PersonDetail } from '@/lib/office/people/queries'
import { requireActor } from '@/lib/office/people/session'
import {
  archivePersonAction,
  changeRolesAction,
  editPersonAction,
  forgetPersonAction,
  invitePersonAction,
  resetLinkAction,
  restorePersonAction,
  revokeAccessAction,
} from '../actions'

export const metadata: Metadata = { title: 'Person' }

export default async function PersonPage({ params }: { params: Promise<{ personId: string }> }) {
  const actor = await requireActor('people.read')
  const personId = z.uuid().safeParse((await params).personId)
  const person = personId.success ? await findPerson(actor, personId.data) : null
  if (!person) notFound()
  return (
    <>
      <PageHead
        title={person.name}
        over="People"
        sub={person.archived ? 'Put away: cannot sign in or be planned.' : undefined}
      />
      <Sheet title="What we know of them">
        <PersonForm action={editPersonAction} person={person} />
      </Sheet>
      {!person.archived && <SignInSheet person={person} />}
      <Sheet title="Leaving">
        <Leaving person={person} />
      </Sheet>
    </>
  )
}

/** The invitation form keeps its place when an invitation is made: its answer, the link, is shown in it and only once. */
function SignInSheet({ person }: { person: PersonDetail }) {
  const { access, clients } = person
  const present = access ? { roles: access.roles, clientId: access.client?.id ?? null } : undefined
  return (
    <Sheet title="Sign-in">
      {access ? (
        <AccessFacts access={access} />
      ) : (
        <p>They cannot sign in. Invite them, and send them the link yourself.</p>
      )}
      {access?.state !== 'signs-in' && (
        <InviteForm
          key="invite"
          action={invitePersonAction}
          personId={person.id}
          email={access?.email || person.email}
          present={present}
          clients={clients}
        />
      )}
      {access?.state === 'signs-in' && present && (
        <RolesForm action={changeRolesAction} membershipId={access.membershipId} present={present} clients={clients} />
      )}
      {access?.state === 'signs-in' && !person.isYou && (
        <ResetLinkForm action={resetLinkAction} membershipId={access.membershipId} />
      )}
      {access && (
        <Step
          name="person.revoke"
          ask={access.state === 'signs-in' ? 'Take their sign-in back' : 'Take the invitation back'}
          confirm="Yes, take it back"
          action={revokeAccessAction}
          hidden={{ membershipId: access.membershipId }}
        >
          <p>From their next click they are out. What they did stays. They can be invited again.</p>
        </Step>
      )}
    </Sheet>
  )
}

function AccessFacts({ access }: { access: Access }) {
  const { state, roles, client, email, expiresAt } = access
  return (
    <Facts
      items={[
        { term: 'How they get in', value: stateWords(state) },
        { term: 'As', value: roleWords(roles, client?.name) },
        { term: 'E-mail address', value: email || 'not known any more' },
        ...(expiresAt ? [{ term: 'Link good until', value: dateWords({ date: expiresAt, style: 'moment' }) }] : []),
      ]}
    />
  )
}

function Leaving({ person }: { person: PersonDetail }) {
  if (person.isYou) return <p>This is you. Another owner can put you away.</p>
  const ids = { personId: person.id }
  return (
    <>
      {person.archived ? (
        <Step
          name="person.restore"
          ask="Bring them back"
          confirm="Yes, bring them back"
          action={restorePersonAction}
          hidden={ids}
        >
          <p>They can be planned again. To sign in they need a new invitation.</p>
        </Step>
      ) : (
        <Step
          name="person.archive"
          ask="Put them away"
          confirm="Yes, put them away"
          action={archivePersonAction}
          hidden={ids}
        >
          <p>
            They can no longer sign in or be planned. Their name stays on what they did, and they can be brought back.
          </p>
        </Step>
      )}
      <Step
        name="person.forget"
        ask="Forget this person"
        confirm="Yes, forget them"
        action={forgetPersonAction}
        hidden={ids}
      >
        <p>
          Name, addresses, note and sign-in are blanked for good. The visits and findings stay, under no name. This
          cannot be undone.
        </p>
      </Step>
    </>
  )
}
