'use client'

import { Field, Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Props = {
  action: FormAction
  count: number
  /** The tax that they get, in words: "VAT 20 %". */
  taxText: string
  isRegistered: boolean
  today: string
}

/** After the business became registered for tax, or is no longer: all prices at once. */
export function TaxPricesForm({ action, count, taxText, isRegistered, today }: Props) {
  const prices = count === 1 ? 'One price is' : `${count} prices are`
  return (
    <Form
      name="price.tax-all"
      action={action}
      values={{ validFrom: today }}
      submit={isRegistered ? `Charge ${taxText} on all of them` : 'Take the tax off all of them'}
    >
      {({ field }) => (
        <>
          <p>
            {isRegistered
              ? `${prices} still without tax, though your settings say that you charge ${taxText}.`
              : `${prices} still taxed, though your settings say that you are not registered.`}{' '}
            The prices themselves are without tax and stay as they are. Invoices and drafts do not change.
          </p>
          <Field {...field('validFrom')} label="From" type="date" />
        </>
      )}
    </Form>
  )
}
