'use client'

import { useState } from 'react'
import { CheckField, Field, Fieldset, Form } from '@/components/forms'
import { moneyWords } from '@/components/paper'
import type { FormAction } from '@/lib/office/frame/schema'
import { ISSUE_PREFIX, ISSUED_AT_ONCE } from '@/lib/office/money/schema'

type Draft = { id: string; clientName: string; currency: string; grossMinor: number }
type Props = { action: FormAction; today: string; drafts: readonly Draft[]; locale: string }

/** Issues the drafts that stay ticked, those of all pages, each with a number of its own, after a second look. */
export function IssueReadyForm({ action, today, drafts, locale }: Props) {
  // Once there it stays: after the last of them is issued it says which numbers they got.
  const [isThere, setThere] = useState(drafts.length > 1)
  if (!isThere && drafts.length > 1) setThere(true)
  if (!isThere && drafts.length < 2) return null
  const ticked = Object.fromEntries(drafts.map(({ id }) => [`${ISSUE_PREFIX}${id}`, true]))
  return (
    <details className="confirm">
      <summary>Issue all that are ready</summary>
      <Form
        name="drafts.issue"
        className="confirm-body"
        action={action}
        values={{ issuedOn: today, earlierDayAccepted: false, ...ticked }}
        submit={drafts.length > 0 ? 'Yes, issue those ticked' : undefined}
      >
        {({ field }) =>
          drafts.length === 0 ? (
            <p>No draft is ready now.</p>
          ) : (
            <>
              <p>{readyWords(drafts, locale)} Each gets the next number. After that nothing on them can change.</p>
              <Field {...field('issuedOn')} label="Day of the invoices" type="date" max={today} />
              <CheckField
                {...field('earlierDayAccepted')}
                label="Issue them even if an earlier number has a later day"
              />
              <Fieldset legend="Issue">
                {drafts.map(({ id, clientName, currency, grossMinor }) => (
                  <CheckField
                    key={id}
                    {...field(`${ISSUE_PREFIX}${id}`)}
                    value={String(grossMinor)}
                    label={`${clientName}, ${moneyWords({ minor: grossMinor, currency, locale })}`}
                  />
                ))}
              </Fieldset>
            </>
          )
        }
      </Form>
    </details>
  )
}

/** How many there are and what they add up to, each currency by itself: "63 are ready, £8,120.00." */
function readyWords(drafts: readonly Draft[], locale: string): string {
  const sums = new Map<string, number>()
  for (const { currency, grossMinor } of drafts) sums.set(currency, (sums.get(currency) ?? 0) + grossMinor)
  const amounts = [...sums].map(([currency, minor]) => moneyWords({ minor, currency, locale })).join(' and ')
  const most = drafts.length >= ISSUED_AT_ONCE ? ' The others can be issued after them.' : ''
  return `${drafts.length === 1 ? 'One is' : `${drafts.length} are`} ready, ${amounts}.${most}`
}
