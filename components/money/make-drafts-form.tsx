'use client'

import { CheckField, Fieldset, Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { PAYER_PREFIX } from '@/lib/office/money/schema'

type Props = {
  action: FormAction
  through: string
  since: string | undefined
  /** How many have something open. Without anybody there is no button, and what was just made is still said. */
  payerCount: number
  /** Who they are; none where a list to tick would be longer than what it is for. */
  payers: readonly { id: string; name: string }[]
}

/** Writes drafts of the unbilled work that is shown: for everybody, or for those who stay ticked. */
export function MakeDraftsForm({ action, through, since, payerCount, payers }: Props) {
  const canChoose = payers.length > 1
  const ticked = Object.fromEntries(payers.map(({ id }) => [`${PAYER_PREFIX}${id}`, true]))
  return (
    <Form
      name="drafts.make"
      // Not about who is left to choose: that changes as drafts are made, and what was made must still be said.
      about={[through, since].filter(Boolean).join(' ')}
      action={action}
      hidden={{ through, ...(since ? { since } : {}), ...(canChoose ? { payers: 'some' } : {}) }}
      values={ticked}
      submit={payerCount > 0 ? 'Make drafts' : undefined}
    >
      {({ field }) =>
        canChoose && (
          <details>
            <summary>Drafts for all {payers.length} clients. Choose some</summary>
            <Fieldset legend="Make drafts for">
              {payers.map(({ id, name }) => (
                <CheckField key={id} {...field(`${PAYER_PREFIX}${id}`)} label={name} />
              ))}
            </Fieldset>
          </details>
        )
      }
    </Form>
  )
}
