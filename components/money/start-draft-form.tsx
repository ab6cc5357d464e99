'use client'

import { Form, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Props = { action: FormAction; clients: readonly { id: string; name: string }[] }

/** An empty draft for what no visit and no part tells. */
export function StartDraftForm({ action, clients }: Props) {
  return (
    <Form name="draft.start" action={action} submit="Start an empty draft" plain>
      {({ field }) => (
        <SelectField
          {...field('clientId')}
          label="Who pays?"
          placeholder="Choose a client"
          options={clients.map(({ id, name }) => ({ value: id, label: name }))}
        />
      )}
    </Form>
  )
}
