'use client'

import { zodResolver } from '@hookform/resolvers/zod'
import { useForm } from 'react-hook-form'
import { ErrorSummary, Field, SubmitButton } from '@/components/forms'
import { newId } from '@/lib/new-id'
import { correctPaymentSchema } from '@/lib/office/money/schema'
import { type Act, useSend } from './use-send'

type Props = {
  businessId: string
  currency: string
  payment: { id: string; receivedOn: string; amount: string; method: string; reference: string }
  act: Act
}

/** What a payment should have said; 0 when the money never came. The wrong entry stays to be seen. */
export function CorrectPaymentForm({ businessId, currency, payment, act }: Props) {
  const { id: paymentId, ...said } = payment
  const formId = `correct-${paymentId}`
  const form = useForm({
    resolver: zodResolver(correctPaymentSchema),
    // Whoever corrects has looked: a sum above what is owed is not asked about again.
    defaultValues: { id: newId(), businessId, paymentId, ...said, overpaymentAccepted: true },
  })
  const { submit, field, isSubmitting, problems } = useSend(form, { act })
  return (
    <details className="confirm">
      <summary>Correct</summary>
      <form className="confirm-body" onSubmit={submit} noValidate>
        <ErrorSummary errors={problems(formId)} />
        <Field {...field('receivedOn', formId)} label="Day it came in" type="date" />
        <Field
          {...field('amount', formId)}
          label="Amount that really came in"
          unit={currency}
          inputMode="decimal"
          className="n"
          hint="0 if none did."
        />
        <Field {...field('method', formId)} label="How" />
        <Field {...field('reference', formId)} label="Reference" />
        <div className="form-actions">
          <SubmitButton pending={isSubmitting}>Write this instead</SubmitButton>
        </div>
      </form>
    </details>
  )
}
