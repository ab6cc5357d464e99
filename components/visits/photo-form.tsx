'use client'

import { useRouter } from 'next/navigation'
import { type FormEvent, useState } from 'react'
import { CheckField, Field, SubmitButton } from '@/components/forms'
import { Notice, Problem } from '@/components/paper'
import { newId } from '@/lib/new-id'

export type PhotoFormProps = { businessId: string; visitId: string; deviceId: string }

/** Takes a picture with the phone's camera, or one that is there, and sends it. A failed one can be sent again as it is. */
export function PhotoForm({ businessId, visitId, deviceId }: PhotoFormProps) {
  const router = useRouter()
  const [photoId, setPhotoId] = useState(newId)
  const [state, setState] = useState<{ busy: boolean; problem: string; notice: string }>({
    busy: false,
    problem: '',
    notice: '',
  })

  async function send(event: FormEvent<HTMLFormElement>) {
    event.preventDefault()
    if (state.busy) return
    const form = event.currentTarget
    const data = new FormData(form)
    const file = data.get('file')
    if (!(file instanceof File) || file.size === 0)
      return setState({ busy: false, problem: 'Take or choose a picture first.', notice: '' })
    setState({ busy: true, problem: '', notice: '' })
    data.set('forClient', String(data.get('forClient') === 'on'))
    const fields = { photoId, businessId, visitId, deviceId, deviceSeq: '0', takenAt: new Date().toISOString() }
    for (const [name, value] of Object.entries(fields)) data.set(name, value)
    const problem = await post(data)
    setState({ busy: false, problem, notice: problem === '' ? 'The picture is kept.' : '' })
    if (problem !== '') return
    form.reset()
    setPhotoId(newId()) // a new id only after success: sending again is harmless
    router.refresh()
  }

  return (
    <form onSubmit={send} noValidate>
      <Field
        name="file"
        type="file"
        accept="image/jpeg,image/png,image/webp,image/avif"
        label="Picture"
        hint="Where and with which camera it was taken is removed."
      />
      <Field name="caption" label="What it shows" />
      <CheckField name="forClient" label="Show it to the client" />
      {state.problem !== '' && <Problem>{state.problem}</Problem>}
      {state.notice !== '' && <Notice>{state.notice}</Notice>}
      <SubmitButton plain pending={state.busy}>
        Add the picture
      </SubmitButton>
    </form>
  )
}

/** Sends the picture; answers what went wrong in words, or nothing. */
async function post(data: FormData): Promise<string> {
  try {
    const response = await fetch('/api/photos', { method: 'POST', body: data })
    if (response.ok) return ''
    const answer: { words?: string } = await response.json()
    return answer.words ?? 'The picture was not taken. Send it again.'
  } catch {
    return 'No signal: the picture was not sent. Send it again when there is.'
  }
}
