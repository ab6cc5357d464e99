'use client'

import { useRouter } from 'next/navigation'
import { Field, Form, Step } from '@/components/forms'
import type { Answer, FormAction } from '@/lib/office/frame/schema'

type Props = { removeAction: FormAction /** Of the logo that there is. */; sha256: string | null }

/** The logo on invoices to come: seen, changed, taken off. */
export function LogoForm({ removeAction, sha256 }: Props) {
  const router = useRouter()
  return (
    <>
      {sha256 !== null && (
        <p className="logo">
          {/* biome-ignore lint/performance/noImgElement: the file is private and comes through the route that checks whose it is */}
          <img src={`/api/logo?is=${sha256}`} alt="Your logo" height={60} />
        </p>
      )}
      <Form
        name="settings.logo"
        action={sendLogo}
        sent={() => router.refresh()}
        submit={sha256 === null ? 'Add the logo' : 'Change the logo'}
        plain
      >
        <Field
          name="file"
          type="file"
          accept="image/png,image/jpeg"
          label="Picture"
          hint="PNG or JPEG, at most 2 MB. Printed above your name, at most 5 cm wide."
        />
      </Form>
      {sha256 !== null && (
        <Step name="settings.no-logo" ask="Take the logo off" confirm="Yes, take it off" action={removeAction}>
          <p>Invoices issued before keep it.</p>
        </Step>
      )}
    </>
  )
}

/** Sends the picture to its own address: too large for an action. */
async function sendLogo(...sent: unknown[]): Promise<Answer> {
  const data = sent.at(-1)
  const file = data instanceof FormData ? data.get('file') : null
  if (!(data instanceof FormData) || !(file instanceof File) || file.size === 0)
    return { ok: false, reason: 'invalid', words: 'Choose a picture first.' }
  const response = await fetch('/api/logo', { method: 'POST', body: data })
  const answer: Answer = await response.json()
  return answer.ok ? { ...answer, said: 'The logo is on every invoice from now on.' } : answer
}
