'use client'

import { CheckField, Field, Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Props = {
  action: FormAction
  invoiceId: string
  today: string
  /** The total of the page, not one that a form kept from before an edit. */
  grossMinor: number
  /** The total in words, "£297.36". */
  total: string
  what: 'invoice' | 'credit note'
}

/** Gives the draft its number, after a second look: opened in place, said once more, then done. */
export function IssueForm({ action, invoiceId, today, grossMinor, total, what }: Props) {
  return (
    <details className="confirm">
      <summary>Issue it</summary>
      <Form
        name="draft.issue"
        className="confirm-body"
        action={action}
        hidden={{ invoiceId, expectedGrossMinor: String(grossMinor) }}
        values={{ issuedOn: today, earlierDayAccepted: false }}
        submit={`Yes, issue this ${what}`}
      >
        {({ field, refusal }) => (
          <>
            <p>
              It gets the next number and says <b>{total}</b>. After that nothing on it can change; what is wrong is put
              right with a credit note.
            </p>
            <Field {...field('issuedOn')} label={`Day of the ${what}`} type="date" max={today} />
            {refusal === 'date-order' && (
              <CheckField {...field('earlierDayAccepted')} label="Yes, issue it with this earlier day" />
            )}
          </>
        )}
      </Form>
    </details>
  )
}
