'use client'

import { Field, Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { PART_PREFIX } from '@/lib/office/money/schema'
import { PaymentQuestions } from './payment-questions'

type Props = {
  action: FormAction
  clientId: string
  today: string
  currency: string
  /** Invoices on which something is owed, oldest first, with what as typed text. */
  open: readonly { id: string; number: string; outstanding: string }[]
}

/** One payment over several invoices; what settles none stays as credit in hand. */
export function ReceiptForm({ action, clientId, today, currency, open }: Props) {
  return (
    <Form
      name="payment.receive"
      action={action}
      hidden={{ clientId }}
      values={{ receivedOn: today, overpaymentAccepted: false, secondAccepted: false }}
      submit="Record this payment"
      plain
    >
      {(form) => (
        <>
          <p className="soft small">Write how much of it goes to each invoice. Write money paid back with a minus.</p>
          <div className="money-fields">
            <Field {...form.field('receivedOn')} label="Date received" type="date" max={today} />
            <Field {...form.field('amount')} label="Amount" unit={currency} inputMode="decimal" className="n" />
            <Field {...form.field('method')} label="Method" />
            <Field {...form.field('reference')} label="Reference" />
          </div>
          {open.map(({ id, number, outstanding }) => (
            <Field
              key={id}
              {...form.field(`${PART_PREFIX}${id}`)}
              label={`For ${number}`}
              hint={`${outstanding} owed`}
              unit={currency}
              inputMode="decimal"
              className="n"
            />
          ))}
          <PaymentQuestions {...form} />
        </>
      )}
    </Form>
  )
}
