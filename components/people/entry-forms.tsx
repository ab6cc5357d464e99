'use client'

import { Field, type FieldTies, Form, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Choices = readonly { value: string; label: string }[]
type Props = { action: FormAction }

type FirstRunProps = Props & { asksCode: boolean; countries: Choices; timeZones: Choices; currencies: Choices }

/** The first business and its owner. */
export function FirstRunForm({ action, asksCode, countries, timeZones, currencies }: FirstRunProps) {
  return (
    <Form
      name="first-run"
      native
      action={action}
      values={{ country: 'GB', timeZone: 'Europe/London', currency: 'GBP' }}
      submit="Begin"
    >
      {({ field }) => (
        <>
          {asksCode && (
            <Field
              {...field('code')}
              label="Code from the terminal"
              hint="It was printed where the program was started, so that nobody else can begin here."
              autoComplete="off"
            />
          )}
          <Field {...field('businessName')} label="What is your business called?" autoComplete="organization" />
          <Field {...field('name')} label="Your name" autoComplete="name" />
          <Field
            {...field('email')}
            type="email"
            label="Your e-mail address"
            hint="You sign in with it."
            autoComplete="username"
          />
          <NewPasswordField {...field('password')} />
          <SelectField
            {...field('country')}
            label="Country"
            hint="Invoices, tax, dates and units follow it. Settings can change each."
            options={countries}
          />
          <SelectField {...field('timeZone')} label="Time zone" options={timeZones} />
          <SelectField {...field('currency')} label="Currency" options={currencies} />
        </>
      )}
    </Form>
  )
}

/** Who one is; afterwards on to where one was led here from. */
export function SignInForm({ action, back }: Props & { back: string }) {
  return (
    <Form name="sign-in" native action={action} hidden={{ back }} submit="Sign in">
      {({ field }) => (
        <>
          <Field
            {...field('email')}
            label="E-mail address"
            type="email"
            autoComplete="username"
            autoCapitalize="none"
            spellCheck={false}
            required
          />
          <Field {...field('password')} label="Password" type="password" autoComplete="current-password" required />
        </>
      )}
    </Form>
  )
}

type LinkProps = Props & { token: string; email: string }

/** Accepts an invitation: a new password, or the one the address has already. */
export function JoinForm({ action, token, email, hasLogin }: LinkProps & { hasLogin: boolean }) {
  return (
    <Form name="join" native action={action} hidden={{ token }} submit={hasLogin ? 'Join with my password' : 'Join'}>
      {({ field }) => (
        <>
          <Field label="E-mail address" type="email" value={email} readOnly autoComplete="username" />
          {hasLogin ? (
            <Field
              {...field('password')}
              type="password"
              label="Your password"
              hint="This address can sign in here already: join with the password it has."
              autoComplete="current-password"
            />
          ) : (
            <NewPasswordField {...field('password')} />
          )}
        </>
      )}
    </Form>
  )
}

/** Sets a new password by a one-time link. */
export function ResetForm({ action, token, email }: LinkProps) {
  return (
    <Form name="reset" native action={action} hidden={{ token }} submit="Set this password">
      {({ field }) => (
        <>
          <Field label="E-mail address" type="email" value={email} readOnly autoComplete="username" />
          <NewPasswordField {...field('password')} />
        </>
      )}
    </Form>
  )
}

/** Changes one's own password. */
export function ChangePasswordForm({ action, email }: Props & { email: string }) {
  return (
    <Form name="password.change" action={action} submit="Change the password">
      {({ field }) => (
        <>
          <input type="hidden" name="username" value={email} autoComplete="username" />
          <Field {...field('oldPassword')} type="password" label="Present password" autoComplete="current-password" />
          <NewPasswordField {...field('newPassword')} />
        </>
      )}
    </Form>
  )
}

function NewPasswordField(ties: FieldTies) {
  return (
    <Field
      {...ties}
      type="password"
      label="New password"
      hint="At least 10 characters; a few words in a row are easy to remember."
      autoComplete="new-password"
    />
  )
}
