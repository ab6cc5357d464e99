'use client'

import { useActionState } from 'react'
import { SubmitButton } from '@/components/forms'
import { Problem } from '@/components/paper'
import type { WithdrawState } from '@/lib/office/records/result'

type Props = {
  action: (before: WithdrawState, data: FormData) => Promise<WithdrawState>
  /** Ids of the command, the business and the batch. */
  hidden: Readonly<Record<string, string>>
}

/** Takes an import back after a second yes; what stands in the way is listed. */
export function WithdrawForm({ action, hidden }: Props) {
  const [state, post] = useActionState(action, { problem: [] })
  const [first, ...others] = state.problem
  return (
    <details className="confirm">
      <summary>Take it back</summary>
      <form className="confirm-body" action={post}>
        {Object.entries(hidden).map(([name, value]) => (
          <input key={name} type="hidden" name={name} value={value} />
        ))}
        {first !== undefined && (
          <Problem title={first}>
            {others.length > 0 && (
              <ul>
                {others.map((line) => (
                  <li key={line}>{line}</li>
                ))}
              </ul>
            )}
          </Problem>
        )}
        <p>
          Everything it brought disappears from every list, sum and date: clients, tanks, devices and visits. The same
          files can be brought again.
        </p>
        <div className="form-actions">
          <SubmitButton pendingWords="Taking it back …">Yes, take it back</SubmitButton>
        </div>
      </form>
    </details>
  )
}
