'use client'

import type { ReactNode } from 'react'
import { Form, type FormProps } from './form'

type Props = Pick<FormProps, 'name' | 'action' | 'hidden' | 'about' | 'pendingWords' | 'sent'> & {
  /** What the first button says, e.g. "Archive". */
  ask: ReactNode
  /** What will happen, in a sentence. */
  children: ReactNode
  /** What the second button says, e.g. "Yes, archive". */
  confirm: ReactNode
}

/** Something not easily undone, in two steps, opened in place; a refusal is said beside it in full. */
export function Step({ ask, children, confirm, ...form }: Props) {
  return (
    <details className="confirm">
      <summary>{ask}</summary>
      <Form {...form} className="confirm-body" submit={confirm}>
        <div>{children}</div>
      </Form>
    </details>
  )
}
