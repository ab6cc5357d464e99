import type { ReactNode } from 'react'
import { Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

export type VisitFormProps = {
  action: FormAction
  /** What is said; see `visitCommandSchema`. */
  kind: string
  visitId: string
  submit: string
  plain?: boolean
  big?: boolean
  /** The page of the visit that follows: '', '/look', … Left out: this page again. */
  next?: string
  hidden?: Readonly<Record<string, string>>
  /** What it is about, where that is not all in `hidden`. */
  about?: string
  children?: ReactNode
}

/** One thing said during a visit. */
export function VisitForm({
  action,
  kind,
  visitId,
  submit,
  plain,
  big,
  next,
  hidden,
  about,
  children,
}: VisitFormProps) {
  return (
    <Form
      name={kind}
      about={about ?? [visitId, ...Object.values(hidden ?? {})].join(' ')}
      className="visit-form"
      action={action}
      hidden={{ kind, visitId, ...(next === undefined ? {} : { next }), ...hidden }}
      submit={submit}
      plain={plain ?? false}
      big={big ?? false}
      leads={next !== undefined}
    >
      {children}
    </Form>
  )
}
