'use client'

import { Form, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import type { PhotoSeenBy } from '@/lib/office/photos/schema'

const WORDS: Readonly<Record<PhotoSeenBy, string>> = {
  client: 'The client and us',
  office: 'Only us',
  nobody: 'Nobody: withdrawn',
}

type Props = { action: FormAction; photoId: string; seenBy: PhotoSeenBy }

/** Who sees a photo. */
export function SeenByForm({ action, photoId, seenBy }: Props) {
  return (
    <Form name="photo.seen-by" action={action} hidden={{ photoId }} values={{ seenBy }} submit="Save" plain>
      {({ field }) => (
        <SelectField
          {...field('seenBy')}
          label="Who sees this photo"
          options={Object.entries(WORDS).map(([value, label]) => ({ value, label }))}
        />
      )}
    </Form>
  )
}
