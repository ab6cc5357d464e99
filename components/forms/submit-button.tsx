'use client'

import type { ReactNode } from 'react'
import { useFormState } from './form-state'

export type SubmitButtonProps = {
  children: ReactNode
  pendingWords?: ReactNode
  /** The plain outline instead of the filled button. */
  plain?: boolean | undefined
  big?: boolean | undefined
  name?: string
  value?: string
}

/**
 * Sends the form. While it is being sent the button says so and swallows further presses, but stays in the order of focus:
 * a button that is disabled loses the focus and a keyboard is lost with it. Before scripts have come it is disabled: a press
 * would take what was typed with it.
 */
export function SubmitButton({ children, pendingWords = 'One moment …', plain, big, name, value }: SubmitButtonProps) {
  const { isReady, isBusy } = useFormState()
  return (
    <button
      type="submit"
      className={[!plain && 'go', big && 'big'].filter(Boolean).join(' ') || undefined}
      name={name}
      value={value}
      disabled={!isReady}
      aria-disabled={isBusy || undefined}
      onClick={(event) => isBusy && event.preventDefault()}
    >
      <span aria-live="polite">{isBusy ? pendingWords : children}</span>
    </button>
  )
}
