'use client'

import { useRouter } from 'next/navigation'
import { useRef, useState } from 'react'
import { SubmitButton } from '@/components/forms'
import { Notice, Problem } from '@/components/paper'
import { newId } from '@/lib/new-id'
import type { MakeDrafts } from '@/lib/office/money/schema'
import type { Act } from './use-send'

type Props = {
  businessId: string
  through: string
  since: string | undefined
  /** Something is shown that is not billed yet. Without it there is no button, and what was just made is still said. */
  hasWork: boolean
  act: Act<{ invoiceIds: string[] }>
}

/** Writes drafts of exactly the unbilled work that is shown. */
export function MakeDraftsForm({ businessId, through, since, hasWork, act }: Props) {
  const [answer, setAnswer] = useState<{ ok: boolean; words: string } | null>(null)
  const [pending, setPending] = useState(false)
  const id = useRef(newId())
  const router = useRouter()
  async function send() {
    setPending(true)
    const input: MakeDrafts = { id: id.current, businessId, through, ...(since ? { since } : {}) }
    const result = await act(input).catch(() => null)
    setPending(false)
    if (!result?.ok) {
      const words = result === null ? 'It could not be sent. Try again.' : (result.words ?? 'This was refused.')
      return setAnswer({ ok: false, words })
    }
    id.current = newId()
    const count = result.value.invoiceIds.length
    const made =
      count === 0 ? 'Nothing was left to bill.' : count === 1 ? 'One draft was made.' : `${count} drafts were made.`
    setAnswer({ ok: true, words: made })
    router.refresh()
  }
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault()
        if (!pending) void send()
      }}
    >
      {answer?.ok && <Notice>{answer.words}</Notice>}
      {answer && !answer.ok && <Problem>{answer.words}</Problem>}
      {hasWork && (
        <div className="form-actions">
          <SubmitButton pending={pending}>Make drafts</SubmitButton>
        </div>
      )}
    </form>
  )
}
