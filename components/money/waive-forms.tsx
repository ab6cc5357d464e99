'use client'

import { Field, Form, Step } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Charge = { kind: string; subjectId: string; period: string }

/** Never bills a charge, with a reason. */
export function WaiveForm({ action, charge, what }: { action: FormAction; charge: Charge; what: string }) {
  return (
    <details className="confirm">
      <summary>Never bill</summary>
      <Form name="charge.waive" className="confirm-body" action={action} hidden={charge} submit="Never bill">
        {({ field }) => (
          <Field
            {...field('reason')}
            label={`Why is “${what}” never billed?`}
            hint="Only you read it. You can undo it."
          />
        )}
      </Form>
    </details>
  )
}

/** Takes "never bill" back. */
export function TakeBackWaiverForm({ action, waiverId }: { action: FormAction; waiverId: string }) {
  return (
    <Step
      name="charge.take-back-waiver"
      ask="Bill after all"
      confirm="Yes, bill it"
      hidden={{ waiverId }}
      action={action}
    >
      <p>It is open to bill again.</p>
    </Step>
  )
}
