'use client'

import { Field, SelectField } from '@/components/forms'
import { type PostAction, PostForm } from './post-form'

type Choices = readonly { value: string; label: string }[]

/** The first business and its owner. */
export function FirstRunForm({
  action,
  timeZones,
  currencies,
}: {
  action: PostAction
  timeZones: Choices
  currencies: Choices
}) {
  return (
    <PostForm action={action} submit="Begin">
      {({ typed, fields }, id) => (
        <>
          <Field
            id={id('businessName')}
            name="businessName"
            label="What is your business called?"
            autoComplete="organization"
            defaultValue={typed.businessName}
            error={fields.businessName?.[0]}
          />
          <Field
            id={id('name')}
            name="name"
            label="Your name"
            autoComplete="name"
            defaultValue={typed.name}
            error={fields.name?.[0]}
          />
          <Field
            id={id('email')}
            name="email"
            type="email"
            label="Your e-mail address"
            hint="You sign in with it."
            autoComplete="username"
            defaultValue={typed.email}
            error={fields.email?.[0]}
          />
          <NewPasswordField id={id('password')} error={fields.password?.[0]} />
          <SelectField
            id={id('timeZone')}
            name="timeZone"
            label="Time zone"
            options={timeZones}
            defaultValue={typed.timeZone ?? 'Europe/London'}
            error={fields.timeZone?.[0]}
          />
          <SelectField
            id={id('currency')}
            name="currency"
            label="Currency"
            options={currencies}
            defaultValue={typed.currency ?? 'GBP'}
            error={fields.currency?.[0]}
          />
        </>
      )}
    </PostForm>
  )
}

/** Accepts an invitation: a new password, or the one the address has already. */
export function JoinForm({ action, email, hasLogin }: { action: PostAction; email: string; hasLogin: boolean }) {
  return (
    <PostForm action={action} submit={hasLogin ? 'Join with my password' : 'Join'}>
      {({ fields }, id) => (
        <>
          <Field label="E-mail address" type="email" value={email} readOnly autoComplete="username" />
          {hasLogin ? (
            <Field
              id={id('password')}
              name="password"
              type="password"
              label="Your password"
              hint="This address can sign in here already: join with the password it has."
              autoComplete="current-password"
              error={fields.password?.[0]}
            />
          ) : (
            <NewPasswordField id={id('password')} error={fields.password?.[0]} />
          )}
        </>
      )}
    </PostForm>
  )
}

/** Sets a new password by a one-time link. */
export function ResetForm({ action, email }: { action: PostAction; email: string }) {
  return (
    <PostForm action={action} submit="Set this password">
      {({ fields }, id) => (
        <>
          <Field label="E-mail address" type="email" value={email} readOnly autoComplete="username" />
          <NewPasswordField id={id('password')} error={fields.password?.[0]} />
        </>
      )}
    </PostForm>
  )
}

/** Changes one's own password. */
export function ChangePasswordForm({ action, email }: { action: PostAction; email: string }) {
  return (
    <PostForm action={action} submit="Change the password">
      {({ fields }, id) => (
        <>
          <input type="hidden" name="username" value={email} autoComplete="username" />
          <Field
            id={id('oldPassword')}
            name="oldPassword"
            type="password"
            label="Present password"
            autoComplete="current-password"
            error={fields.oldPassword?.[0]}
          />
          <NewPasswordField id={id('newPassword')} name="newPassword" error={fields.newPassword?.[0]} />
        </>
      )}
    </PostForm>
  )
}

function NewPasswordField({ id, name = 'password', error }: { id: string; name?: string; error: string | undefined }) {
  return (
    <Field
      id={id}
      name={name}
      type="password"
      label="New password"
      hint="At least 10 characters; a few words in a row are easy to remember."
      autoComplete="new-password"
      error={error}
    />
  )
}
