'use client'

import { useRouter } from 'next/navigation'
import { type ReactNode, useRef, useState } from 'react'
import { ConfirmForm } from '@/components/forms'
import { Problem } from '@/components/paper'
import { newId } from '@/lib/new-id'
import type { Result } from '@/lib/office/result'

type Props = {
  /** What the first button says, e.g. "Archive". */
  ask: string
  /** What will happen. */
  children: ReactNode
  confirm: string
  businessId: string
  id: string
  act: (input: unknown) => Promise<Result<unknown, string>>
}

/** One act on one row, in two steps; a refusal is said beside it in full. */
export function RegisterAct({ ask, children, confirm, businessId, id, act }: Props) {
  const [words, setWords] = useState<string | null>(null)
  const commandId = useRef(newId())
  const router = useRouter()
  async function run() {
    const result = await act({ commandId: commandId.current, businessId, id }).catch(() => null)
    if (result?.ok) {
      commandId.current = newId()
      setWords(null)
      return router.refresh()
    }
    setWords(result === null ? 'It could not be sent. Try again.' : (result.words ?? 'This was refused.'))
  }
  return (
    <div>
      {words !== null && <Problem>{words}</Problem>}
      <ConfirmForm ask={ask} confirm={confirm} action={run}>
        {children}
      </ConfirmForm>
    </div>
  )
}
