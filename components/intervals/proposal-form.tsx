'use client'

import { useActionState, useId } from 'react'
import { CheckField, SubmitButton } from '@/components/forms'
import { Notice, Problem } from '@/components/paper'
import type { PostAction } from '@/components/people'
import { EMPTY_FORM } from '@/lib/office/people/schema'

type Props = {
  action: PostAction
  hidden: Readonly<Record<string, string>>
  devices: readonly { equipmentId: string; label: string }[]
  accept: string
  decline: string
}

/** One proposed interval: the tanks, all ticked at first, and two answers. */
export function ProposalForm({ action, hidden, devices, accept, decline }: Props) {
  const [state, post, pending] = useActionState(action, EMPTY_FORM)
  const form = useId()
  const problem = state.problem ?? state.fields.equipmentIds?.[0]
  return (
    <form action={post} noValidate>
      {problem && <Problem>{problem}</Problem>}
      {state.notice && <Notice>{state.notice}</Notice>}
      {Object.entries(hidden).map(([name, value]) => (
        <input key={name} type="hidden" name={name} value={value} />
      ))}
      <details>
        <summary>{devices.length === 1 ? 'The device' : `The ${devices.length} devices`}</summary>
        {devices.map(({ equipmentId, label }) => (
          <CheckField
            key={equipmentId}
            id={`${form}-${equipmentId}`}
            name={`device-${equipmentId}`}
            label={label}
            defaultChecked={Object.keys(state.typed).length === 0 || state.typed[`device-${equipmentId}`] === 'on'}
          />
        ))}
      </details>
      <div className="form-actions">
        <SubmitButton pending={pending} name="decision" value="accepted">
          {accept}
        </SubmitButton>
        <SubmitButton pending={pending} plain name="decision" value="declined">
          {decline}
        </SubmitButton>
      </div>
    </form>
  )
}
