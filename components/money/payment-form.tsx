'use client'

import { Field, Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { PaymentQuestions } from './payment-questions'

type Props = {
  action: FormAction
  invoiceId: string
  today: string
  currency: string
  /** What is still owed, as typed text: "297.36"; "-134.40" where so much can go back. */
  outstanding: string
}

/** Money that came in, all of it or a part; more than is owed is asked about. */
export function PaymentForm({ action, invoiceId, today, currency, outstanding }: Props) {
  return (
    <Form
      name="payment.record"
      action={action}
      hidden={{ invoiceId }}
      values={{ receivedOn: today, amount: outstanding, overpaymentAccepted: false, secondAccepted: false }}
      submit="Record this payment"
      plain
    >
      {(form) => (
        <>
          <p className="soft small">Method and reference are optional. Write money paid back with a minus.</p>
          <div className="money-fields">
            <Field {...form.field('receivedOn')} label="Date received" type="date" max={today} />
            {/* Made anew with what is owed by now: a field that stays keeps what it first offered. */}
            <Field
              key={outstanding}
              {...form.field('amount')}
              label="Amount"
              hint={outstanding.startsWith('-') ? 'Overpaid: so much can go back.' : undefined}
              unit={currency}
              inputMode="decimal"
              className="n"
            />
            <Field {...form.field('method')} label="Method" />
            <Field {...form.field('reference')} label="Reference" />
          </div>
          <PaymentQuestions {...form} />
        </>
      )}
    </Form>
  )
}
