'use client'

import { useRouter } from 'next/navigation'
import { CheckField, Field, Form } from '@/components/forms'
import type { Answer } from '@/lib/office/frame/schema'

/** Takes a picture with the phone's camera, or one that is there, and sends it. A failed one can be sent again as it is. */
export function PhotoForm({ visitId, deviceId }: { visitId: string; deviceId: string }) {
  const router = useRouter()
  return (
    <Form
      name="photo.add"
      action={sendPhoto}
      hidden={{ visitId, deviceId, deviceSeq: '0' }}
      sent={() => router.refresh()}
      submit="Add the picture"
      plain
    >
      <Field
        name="file"
        type="file"
        accept="image/jpeg,image/png,image/webp,image/avif"
        label="Picture"
        hint="Where and with which camera it was taken is removed."
      />
      <Field name="caption" label="What it shows" />
      <CheckField name="forClient" label="Show it to the client" />
    </Form>
  )
}

/** Sends the picture to its own address: too large for an action. The same picture sent again is the same photo. */
async function sendPhoto(...sent: unknown[]): Promise<Answer> {
  const data = sent.at(-1)
  const file = data instanceof FormData ? data.get('file') : null
  if (!(data instanceof FormData) || !(file instanceof File) || file.size === 0)
    return { ok: false, reason: 'invalid', words: 'Take or choose a picture first.' }
  data.set('photoId', String(data.get('commandId')))
  data.set('forClient', String(data.get('forClient') === 'on'))
  data.set('takenAt', new Date(file.lastModified).toISOString())
  const response = await fetch('/api/photos', { method: 'POST', body: data })
  const answer: Answer = await response.json()
  return answer.ok ? { ...answer, said: 'Photo saved.' } : answer
}
