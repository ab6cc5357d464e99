'use client'

import { Field, Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { PART_PREFIX } from '@/lib/office/money/schema'
import { PaymentQuestions } from './payment-questions'

type Props = {
  action: FormAction
  currency: string
  payment: { id: string; receivedOn: string; amount: string; method: string; reference: string }
  /** What it settles, and what else it could settle. */
  settles: readonly { invoiceId: string; number: string; amount: string }[]
  others: readonly { invoiceId: string; number: string }[]
}

/** What a payment should have said; 0 when the money never came. The wrong entry stays to be seen. */
export function CorrectPaymentForm({ action, currency, payment, settles, others }: Props) {
  const { id: paymentId, receivedOn, amount, method, reference } = payment
  return (
    <Form
      name="payment.correct"
      about={paymentId}
      action={action}
      hidden={{ paymentId }}
      values={{
        ...{ receivedOn, amount, method, reference, overpaymentAccepted: false },
        ...Object.fromEntries(settles.map((part) => [`${PART_PREFIX}${part.invoiceId}`, part.amount])),
      }}
      submit="Save correction"
      plain
    >
      {(form) => (
        <>
          <Field {...form.field('receivedOn')} label="Date received" type="date" />
          <Field
            {...form.field('amount')}
            label="Amount that really came in"
            unit={currency}
            inputMode="decimal"
            className="n"
            hint="0 if none did."
          />
          {[...settles, ...others].map(({ invoiceId, number }) => (
            <Field
              key={invoiceId}
              {...form.field(`${PART_PREFIX}${invoiceId}`)}
              label={`Of it for ${number}`}
              unit={currency}
              inputMode="decimal"
              className="n"
            />
          ))}
          <Field {...form.field('method')} label="Method" />
          <Field {...form.field('reference')} label="Reference" />
          <PaymentQuestions {...form} />
        </>
      )}
    </Form>
  )
}
