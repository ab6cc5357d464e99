import type { ReactNode } from 'react'
import { SubmitButton } from './submit-button'

export type ConfirmFormProps = {
  /** What the first button says, e.g. "Take it back". */
  ask: ReactNode
  /** What will happen, in a sentence. */
  children: ReactNode
  /** What the second button says, e.g. "Yes, take it back". */
  confirm: ReactNode
  /** A server action, or an address to post to. */
  action: string | ((data: FormData) => void | Promise<void>)
  /** Sent along unseen, e.g. ids. */
  hidden?: Readonly<Record<string, string>>
  pending?: boolean
}

/** Two steps before something that is not easily undone: opened in place, without a dialog and without scripts. */
export function ConfirmForm({ ask, children, confirm, action, hidden = {}, pending }: ConfirmFormProps) {
  const post = typeof action === 'string' ? { action, method: 'post' } : { action }
  return (
    <details className="confirm">
      <summary>{ask}</summary>
      <form className="confirm-body" {...post}>
        {Object.entries(hidden).map(([name, value]) => (
          <input key={name} type="hidden" name={name} value={value} />
        ))}
        <div>{children}</div>
        <div className="form-actions">
          <SubmitButton pending={pending}>{confirm}</SubmitButton>
        </div>
      </form>
    </details>
  )
}
