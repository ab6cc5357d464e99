'use client'

import { useState } from 'react'
import { countDraftsOf, forgetOnDevice } from '@/components/device/drafts'
import { usePerson } from '@/components/device/person'
import { Form, Step, SubmitButton } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

/** Ends the session on this device, and forgets what is kept of it here. Works before scripts have come. */
export function SignOut({ action }: { action: FormAction }) {
  const person = usePerson()
  const [wasAsked, setAsked] = useState(false)
  async function mayGo(): Promise<string | null> {
    if (!person || wasAsked) return null
    const count = await countDraftsOf(person)
    if (count === 0) return null
    setAsked(true)
    const forms = count === 1 ? 'One form' : `${count} forms`
    return `${forms} typed here and never sent would be lost. Press again to sign out.`
  }
  return (
    <Form
      name="sign-out"
      native
      action={action}
      before={mayGo}
      sent={() => {
        if (person) void forgetOnDevice(person)
      }}
    >
      <SubmitButton plain>Sign out</SubmitButton>
    </Form>
  )
}

/** The same for every device; what is kept on this one goes too. */
export function SignOutEverywhere({ action, email }: { action: FormAction; email: string }) {
  const person = usePerson()
  return (
    <Step
      name="sign-out.everywhere"
      ask="Sign out everywhere"
      confirm="Yes, sign out everywhere"
      action={action}
      sent={() => {
        if (person) void forgetOnDevice(person)
      }}
    >
      Every phone and computer that is signed in with {email} is signed out, this one too. What was typed here and never
      sent is lost.
    </Step>
  )
}
