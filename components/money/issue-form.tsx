'use client'

import { zodResolver } from '@hookform/resolvers/zod'
import { useRouter } from 'next/navigation'
import { useForm } from 'react-hook-form'
import { ErrorSummary, Field, SubmitButton } from '@/components/forms'
import { newId } from '@/lib/new-id'
import { issueInvoiceSchema } from '@/lib/office/money/schema'
import { type Act, useSend } from './use-send'

type Props = {
  businessId: string
  invoiceId: string
  today: string
  grossMinor: number
  /** The total in words, "£297.36". */
  total: string
  what: 'invoice' | 'credit note'
  act: Act<{ invoiceId: string; number: string; grossMinor: number }>
}

/** Gives the draft its number, after a second look: opened in place, said once more, then done. */
export function IssueForm({ businessId, invoiceId, today, grossMinor, total, what, act }: Props) {
  const router = useRouter()
  const form = useForm({
    resolver: zodResolver(issueInvoiceSchema),
    defaultValues: { id: newId(), businessId, invoiceId, issuedOn: today },
  })
  const { submit, field, isSubmitting, problems } = useSend(form, {
    // The total of the page, not one that a form kept from before an edit.
    act: (input) => act({ ...(input as object), expectedGrossMinor: grossMinor }),
    after: () => router.refresh(),
  })
  form.register('expectedGrossMinor', { value: grossMinor })
  return (
    <details className="confirm" open={problems('issue').length > 0 || undefined}>
      <summary>Issue it</summary>
      <form className="confirm-body" onSubmit={submit} noValidate>
        <ErrorSummary errors={problems('issue')} />
        <p>
          It gets the next number and says <b>{total}</b>. After that nothing on it can change; what is wrong is put
          right with a credit note.
        </p>
        <Field {...field('issuedOn', 'issue')} label={`Day of the ${what}`} type="date" />
        <div className="form-actions">
          <SubmitButton pending={isSubmitting}>Yes, issue this {what}</SubmitButton>
        </div>
      </form>
    </details>
  )
}
