'use client'

import { Field } from '@/components/forms'
import { type PostAction, PostForm } from './post-form'

export function SignInForm({ action }: { action: PostAction }) {
  return (
    <PostForm action={action} submit="Sign in">
      {({ typed, fields }, id) => (
        <>
          <Field
            id={id('email')}
            label="E-mail address"
            name="email"
            type="email"
            autoComplete="username"
            autoCapitalize="none"
            spellCheck={false}
            required
            defaultValue={typed.email}
            error={fields.email?.[0]}
          />
          <Field
            id={id('password')}
            label="Password"
            name="password"
            type="password"
            autoComplete="current-password"
            required
            error={fields.password?.[0]}
          />
        </>
      )}
    </PostForm>
  )
}
