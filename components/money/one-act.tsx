'use client'

import { useRouter } from 'next/navigation'
import { type ReactNode, useRef, useState } from 'react'
import { ConfirmForm } from '@/components/forms'
import { Problem } from '@/components/paper'
import { newId } from '@/lib/new-id'
import type { Act } from './use-send'

type Props = {
  /** What the first button says, e.g. "Discard this draft". */
  ask: string
  /** What will happen. */
  children: ReactNode
  confirm: string
  /** What the command is told besides its own id. */
  input: Readonly<Record<string, unknown>>
  act: Act
  /** Where to go afterwards; without it the page reads itself anew. */
  nextHref?: string
}

/** One act in two steps; a refusal is said beside it in full. */
export function OneAct({ ask, children, confirm, input, act, nextHref }: Props) {
  const [words, setWords] = useState<string | null>(null)
  const id = useRef(newId())
  const router = useRouter()
  async function run() {
    const result = await act({ ...input, id: id.current }).catch(() => null)
    if (!result?.ok) return setWords(result === null ? 'It could not be sent. Try again.' : wordsOf(result))
    id.current = newId()
    setWords(null)
    if (nextHref === undefined) router.refresh()
    else router.push(nextHref)
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

function wordsOf(result: { words?: string; fields?: Partial<Record<string, string[]>> }): string {
  return (
    result.words ??
    Object.values(result.fields ?? {})
      .flat()
      .join(' ') ??
    'This was refused.'
  )
}
