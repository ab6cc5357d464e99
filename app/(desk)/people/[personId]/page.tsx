import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { dateWords, Facts, Sheet } from '@/components/paper'
import { InviteForm, PersonForm, ResetLinkForm, RolesForm, roleWords, StepForm, stateWords } from '@/components/people'
import { PageHead } from '@/components/shell'
import { newId } from '@/lib/new-id'
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

type Hidden = (more: Record<string, string>) => Record<string, string>

export default async function PersonPage({ params }: { params: Promise<{ personId: string }> }) {
  const actor = await requireActor('people.read')
  const personId = z.uuid().safeParse((await params).personId)
  const person = personId.success ? await findPerson(actor, personId.data) : null
  if (!person) notFound()
  const hidden: Hidden = (more) => ({ commandId: newId(), businessId: actor.businessId, ...more })
  return (
    <>
      <PageHead
        title={person.name}
        over="People"
        sub={person.archived ? 'Put away: cannot sign in or be planned.' : undefined}
      />
      <Sheet title="What we know of them">
        <PersonForm action={editPersonAction} hidden={hidden({ personId: person.id })} person={person} />
      </Sheet>
      {!person.archived && <SignInSheet person={person} hidden={hidden} />}
      <Sheet title="Leaving">
        <Leaving person={person} hidden={hidden} />
      </Sheet>
    </>
  )
}

/** The invitation form keeps its place when an invitation is made: its answer, the link, is shown in it and only once. */
function SignInSheet({ person, hidden }: { person: PersonDetail; hidden: Hidden }) {
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
          hidden={hidden({ personId: person.id })}
          email={access?.email || person.email}
          present={present}
          clients={clients}
        />
      )}
      {access?.state === 'signs-in' && present && (
        <RolesForm
          action={changeRolesAction}
          hidden={hidden({ membershipId: access.membershipId })}
          present={present}
          clients={clients}
        />
      )}
      {access?.state === 'signs-in' && !person.isYou && (
        <ResetLinkForm action={resetLinkAction} hidden={hidden({ membershipId: access.membershipId })} />
      )}
      {access && (
        <StepForm
          ask={access.state === 'signs-in' ? 'Take their sign-in back' : 'Take the invitation back'}
          words="From their next click they are out. What they did stays. They can be invited again."
          confirm="Yes, take it back"
          action={revokeAccessAction}
          hidden={hidden({ membershipId: access.membershipId })}
        />
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

function Leaving({ person, hidden }: { person: PersonDetail; hidden: Hidden }) {
  if (person.isYou) return <p>This is you. Another owner can put you away.</p>
  const ids = { personId: person.id }
  return (
    <>
      {person.archived ? (
        <StepForm
          ask="Bring them back"
          words="They can be planned again. To sign in they need a new invitation."
          confirm="Yes, bring them back"
          action={restorePersonAction}
          hidden={hidden(ids)}
        />
      ) : (
        <StepForm
          ask="Put them away"
          words="They can no longer sign in or be planned. Their name stays on what they did, and they can be brought back."
          confirm="Yes, put them away"
          action={archivePersonAction}
          hidden={hidden(ids)}
        />
      )}
      <StepForm
        ask="Forget this person"
        words="Name, addresses, note and sign-in are blanked for good. The visits and findings stay, under no name. This cannot be undone."
        confirm="Yes, forget them"
        action={forgetPersonAction}
        hidden={hidden(ids)}
      />
    </>
  )
}
