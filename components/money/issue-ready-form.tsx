'use client'

import { CheckField, Field, Fieldset, Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { ISSUE_PREFIX } from '@/lib/office/money/schema'

type Draft = { id: string; grossMinor: number; label: string }
type Props = { action: FormAction; today: string; drafts: readonly Draft[] }

/** Issues the drafts that stay ticked, each with a number of its own, after a second look. */
export function IssueReadyForm({ action, today, drafts }: Props) {
  const ticked = Object.fromEntries(drafts.map(({ id }) => [`${ISSUE_PREFIX}${id}`, true]))
  return (
    <details className="confirm">
      <summary>Issue all that are ready</summary>
      <Form
        name="drafts.issue"
        className="confirm-body"
        action={action}
        values={{ issuedOn: today, earlierDayAccepted: false, ...ticked }}
        submit="Yes, issue those ticked"
      >
        {({ field }) => (
          <>
            <p>Each gets the next number. After that nothing on them can change.</p>
            <Field {...field('issuedOn')} label="Day of the invoices" type="date" max={today} />
            <CheckField {...field('earlierDayAccepted')} label="Issue them even if an earlier number has a later day" />
            <Fieldset legend="Issue">
              {drafts.map(({ id, grossMinor, label }) => (
                <CheckField key={id} {...field(`${ISSUE_PREFIX}${id}`)} value={String(grossMinor)} label={label} />
              ))}
            </Fieldset>
          </>
        )}
      </Form>
    </details>
  )
}
