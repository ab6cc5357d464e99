'use client'

import { Field, Form, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Choice = { value: string; label: string }
type Props = { action: FormAction; clientId: string; currency: string; from: readonly Choice[]; to: readonly Choice[] }

/** Moves credit to an invoice, or an overpayment back in hand. A blank choice is the credit in hand. */
export function MoveCreditForm({ action, clientId, currency, from, to }: Props) {
  return (
    <Form
      name="credit.move"
      action={action}
      hidden={{ clientId }}
      values={{ fromInvoiceId: from[0]?.value ?? '', toInvoiceId: to[0]?.value ?? '' }}
      submit="Move it"
      plain
    >
      {({ field }) => (
        <>
          <SelectField {...field('fromInvoiceId')} label="From" options={[...from]} />
          <SelectField {...field('toInvoiceId')} label="To" options={[...to]} />
          <Field {...field('amount')} label="Amount" unit={currency} inputMode="decimal" className="n" />
        </>
      )}
    </Form>
  )
}
