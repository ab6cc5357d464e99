'use client'

import { Field } from '@/components/forms'
import { type AccessChoice, AccessFields } from './access-fields'
import { LinkOnce } from './link-once'
import { type PostAction, PostForm } from './post-form'

type Hidden = Readonly<Record<string, string>>
type Clients = readonly { id: string; name: string }[]

type InviteProps = { action: PostAction; hidden: Hidden; email: string; present?: AccessChoice; clients: Clients }

/** Invites somebody, or invites them again: the answer is a link to send. */
export function InviteForm({ action, hidden, email, present, clients }: InviteProps) {
  return (
    <PostForm action={action} hidden={hidden} submit={present ? 'Make a new link' : 'Make an invitation link'}>
      {(state, id) => (
        <>
          {state.link && <LinkOnce link={state.link} days="seven days" />}
          <Field
            id={id('email')}
            name="email"
            type="email"
            label="E-mail address they will sign in with"
            autoComplete="off"
            defaultValue={state.typed.email ?? email}
            error={state.fields.email?.[0]}
          />
          <AccessFields state={state} id={id} present={present} clients={clients} />
        </>
      )}
    </PostForm>
  )
}

/** Changes roles or client of somebody who has been invited. */
export function RolesForm(props: { action: PostAction; hidden: Hidden; present: AccessChoice; clients: Clients }) {
  return (
    <PostForm action={props.action} hidden={props.hidden} submit="Change roles">
      {(state, id) => <AccessFields state={state} id={id} present={props.present} clients={props.clients} />}
    </PostForm>
  )
}

/** Makes a one-time link for a new password. */
export function ResetLinkForm({ action, hidden }: { action: PostAction; hidden: Hidden }) {
  return (
    <PostForm action={action} hidden={hidden} submit="Make a link for a new password" plain>
      {(state) => state.link && <LinkOnce link={state.link} days="one day" />}
    </PostForm>
  )
}

type StepProps = { ask: string; words: string; confirm: string; action: PostAction; hidden: Hidden }

/** Something not easily undone, in two steps, opened in place. */
export function StepForm({ ask, words, confirm, action, hidden }: StepProps) {
  return (
    <details className="confirm">
      <summary>{ask}</summary>
      <div className="confirm-body">
        <p>{words}</p>
        <PostForm action={action} hidden={hidden} submit={confirm} />
      </div>
    </details>
  )
}
