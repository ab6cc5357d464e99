'use client'

import { CheckField, Form, SubmitButton } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Props = {
  action: FormAction
  hidden: Readonly<Record<string, string>>
  devices: readonly { equipmentId: string; label: string }[]
  accept: string
  decline: string
}

/** One proposed interval: the tanks, all ticked at first, and two answers. */
export function ProposalForm({ action, hidden, devices, accept, decline }: Props) {
  return (
    <Form
      name="interval.decide"
      action={action}
      hidden={hidden}
      values={Object.fromEntries(devices.map(({ equipmentId }) => [`device-${equipmentId}`, true]))}
    >
      {({ field }) => (
        <>
          <details>
            <summary>{devices.length === 1 ? 'The device' : `The ${devices.length} devices`}</summary>
            {devices.map(({ equipmentId, label }) => (
              <CheckField key={equipmentId} {...field(`device-${equipmentId}`)} label={label} />
            ))}
          </details>
          <div className="form-actions">
            <SubmitButton name="decision" value="accepted">
              {accept}
            </SubmitButton>
            <SubmitButton plain name="decision" value="declined">
              {decline}
            </SubmitButton>
          </div>
        </>
      )}
    </Form>
  )
}
