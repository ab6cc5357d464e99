'use client'

import { zodResolver } from '@hookform/resolvers/zod'
import { useRouter } from 'next/navigation'
import { useState } from 'react'
import { useForm } from 'react-hook-form'
import { CheckField, ErrorSummary, Field, SubmitButton } from '@/components/forms'
import { Notice, Problem } from '@/components/paper'
import { newId } from '@/lib/new-id'
import { recordPaymentSchema } from '@/lib/office/money/schema'
import { type Act, useSend } from './use-send'

type Props = {
  businessId: string
  invoiceId: string
  today: string
  currency: string
  /** What is still owed, as typed text: "297.36". */
  outstanding: string
  act: Act
}

const FORM = 'payment'

/** Money that came in, all of it or a part; more than is owed is asked about. */
export function PaymentForm({ businessId, invoiceId, today, currency, outstanding, act }: Props) {
  const router = useRouter()
  const [question, setQuestion] = useState<string | null>(null)
  const [saved, setSaved] = useState(false)
  const empty = { businessId, invoiceId, receivedOn: today, method: '', reference: '', overpaymentAccepted: false }
  const form = useForm({
    resolver: zodResolver(recordPaymentSchema),
    defaultValues: { ...empty, id: newId(), amount: outstanding },
  })
  const { submit, field, isSubmitting, problems } = useSend(form, {
    act,
    ask: (reason, words) => {
      if (reason !== 'overpaid') return false
      setQuestion(words)
      return true
    },
    after: () => {
      form.reset({ ...empty, id: newId(), amount: '' })
      setQuestion(null)
      setSaved(true)
      router.refresh()
    },
  })
  return (
    <form onSubmit={submit} noValidate>
      <ErrorSummary errors={problems(FORM)} />
      {saved && !form.formState.isDirty && <Notice>Written down.</Notice>}
      <p className="soft small">How and reference may stay empty. Money paid back is written with a minus.</p>
      <div className="money-fields">
        <Field {...field('receivedOn', FORM)} label="Day it came in" type="date" />
        <Field {...field('amount', FORM)} label="Amount" unit={currency} inputMode="decimal" className="n" />
        <Field {...field('method', FORM)} label="How" />
        <Field {...field('reference', FORM)} label="Reference" />
      </div>
      {question !== null && (
        <>
          <Problem title="More than is owed">{question}</Problem>
          <CheckField {...field('overpaymentAccepted', FORM)} label="Yes, so much came in" />
        </>
      )}
      <div className="form-actions">
        <SubmitButton pending={isSubmitting} plain>
          Record this payment
        </SubmitButton>
      </div>
    </form>
  )
}
