import type { FormEventHandler, ReactNode } from 'react'
import { ErrorSummary, SubmitButton, type SummaryError } from '@/components/forms'
import { ButtonLink } from '@/components/paper'

type Props = {
  submit: FormEventHandler<HTMLFormElement>
  problems: readonly SummaryError[]
  isSubmitting: boolean
  /** What the button says. */
  words: string
  cancelHref: string
  children: ReactNode
}

/** The frame of every form of the register: what is wrong first, the fields, the button, the way back. */
export function RegisterForm({ submit, problems, isSubmitting, words, cancelHref, children }: Props) {
  return (
    <form onSubmit={submit} noValidate>
      <ErrorSummary errors={problems} />
      {children}
      <div className="form-actions">
        <SubmitButton pending={isSubmitting}>{words}</SubmitButton>
        <ButtonLink href={cancelHref} quiet>
          Leave it as it is
        </ButtonLink>
      </div>
    </form>
  )
}
