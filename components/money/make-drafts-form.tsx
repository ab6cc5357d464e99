'use client'

import { CheckField, Fieldset, Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { PAYER_PREFIX } from '@/lib/office/money/schema'

type Props = {
  action: FormAction
  through: string
  since: string | undefined
  /** Who has something open. Without anybody there is no button, and what was just made is still said. */
  payers: readonly { id: string; name: string }[]
}

/** With more clients than this a list to tick is longer than what it is for. */
const MOST_TO_CHOOSE = 100

/** Writes drafts of the unbilled work that is shown: for everybody, or for those who stay ticked. */
export function MakeDraftsForm({ action, through, since, payers }: Props) {
  const canChoose = payers.length > 1 && payers.length <= MOST_TO_CHOOSE
  const ticked = Object.fromEntries(payers.map(({ id }) => [`${PAYER_PREFIX}${id}`, true]))
  return (
    <Form
      name="drafts.make"
      action={action}
      hidden={{ through, ...(since ? { since } : {}), ...(canChoose ? { payers: 'some' } : {}) }}
      values={ticked}
      submit={payers.length > 0 ? 'Make drafts' : undefined}
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
