'use client'

import type { FormAction } from '@/lib/office/frame/schema'
import { Form, TextAreaField } from '../forms'

/** Cancels a visit, with the reason. */
export function CancelForm({ action, visitId }: { action: FormAction; visitId: string }) {
  return (
    <Form name="visit.cancel" action={action} hidden={{ visitId }} submit="Cancel this visit" plain>
      {({ field }) => (
        <TextAreaField
          {...field('reason')}
          label="Why"
          hint="Stays with us; the client sees only that it is cancelled."
          rows={2}
        />
      )}
    </Form>
  )
}

/** Answers a client's request without a visit. */
export function AnswerForm({ action, requestId }: { action: FormAction; requestId: string }) {
  return (
    <details>
      <summary>Answer without a visit</summary>
      <Form name="request.answer" action={action} hidden={{ requestId }} submit="Send the answer" plain>
        {({ field }) => <TextAreaField {...field('answer')} label="Answer" hint="The client reads this." rows={2} />}
      </Form>
    </details>
  )
}
