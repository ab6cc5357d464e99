'use client'

import type { ReactNode } from 'react'
import { useFormStatus } from 'react-dom'

export type SubmitButtonProps = {
  children: ReactNode
  /** Given by react-hook-form's `isSubmitting`; a form with a server action needs no prop. */
  pending?: boolean
  pendingWords?: ReactNode
  /** The plain outline instead of the filled button. */
  plain?: boolean
  big?: boolean
  name?: string
  value?: string
}

/**
 * Sends the form. While it is being sent the button says so and swallows further presses, but stays in the order of focus:
 * a button that is disabled loses the focus and a keyboard is lost with it.
 */
export function SubmitButton(props: SubmitButtonProps) {
  const { children, pending, pendingWords = 'One moment …', plain = false, big = false, name, value } = props
  const status = useFormStatus()
  const busy = pending ?? status.pending
  return (
    <button
      type="submit"
      className={[!plain && 'go', big && 'big'].filter(Boolean).join(' ') || undefined}
      name={name}
      value={value}
      aria-disabled={busy || undefined}
      onClick={(event) => busy && event.preventDefault()}
    >
      <span aria-live="polite">{busy ? pendingWords : children}</span>
    </button>
  )
}
