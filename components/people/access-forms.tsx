'use client'

import { Field, Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { type AccessChoice, AccessFields, accessValues } from './access-fields'
import { LinkOnce } from './link-once'

/** A link to send, or null where it was shown before. */
type MadeLink = { link: string | null }
type Clients = readonly { id: string; name: string }[]

type InviteProps = {
  action: FormAction<MadeLink>
  personId: string
  email: string
  present?: AccessChoice | undefined
  clients: Clients
}

/** Invites somebody, or invites them again: the answer is a link to send. */
export function InviteForm({ action, personId, email, present, clients }: InviteProps) {
  return (
    <Form
      name="person.invite"
      action={action}
      hidden={{ personId }}
      values={{ email, ...accessValues(present) }}
      submit={present ? 'Make a new link' : 'Make an invitation link'}
    >
      {({ field, made }) => (
        <>
          {made?.link && <LinkOnce link={made.link} days="seven days" />}
          <Field {...field('email')} type="email" label="E-mail address they will sign in with" autoComplete="off" />
          <AccessFields field={field} clients={clients} />
        </>
      )}
    </Form>
  )
}

type MembershipProps<Value = unknown> = { action: FormAction<Value>; membershipId: string }

/** Changes roles or client of somebody who has been invited. */
export function RolesForm(props: MembershipProps & { present: AccessChoice; clients: Clients }) {
  const { action, membershipId, present, clients } = props
  return (
    <Form
      name="person.roles"
      action={action}
      hidden={{ membershipId }}
      values={accessValues(present)}
      submit="Change roles"
    >
      {({ field }) => <AccessFields field={field} clients={clients} />}
    </Form>
  )
}

/** Makes a one-time link for a new password. */
export function ResetLinkForm({ action, membershipId }: MembershipProps<MadeLink>) {
  return (
    <Form
      name="person.reset-link"
      action={action}
      hidden={{ membershipId }}
      submit="Make a link for a new password"
      plain
    >
      {({ made }) => made?.link && <LinkOnce link={made.link} days="one day" />}
    </Form>
  )
}
