'use client'

import { Field, Fieldset, Form, MoneyField, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { CREDIT_AMOUNT_PREFIX, CREDIT_EFFECT_PREFIX, CREDIT_PREFIX } from '@/lib/office/money/schema'

type Line = {
  id: string
  description: string
  quantity: string
  unit: string
  creditable: string
  creditableText: string
}
type Props = { action: FormAction; invoiceId: string; currency: string; lines: readonly Line[] }

const EFFECTS = [
  { value: 'reopen', label: 'Bill it again later' },
  { value: 'waive', label: 'Waive it for good' },
]

/** Which lines to credit, how much of each, and whether that is billed again; makes the draft of a credit note. */
export function CreditForm({ action, invoiceId, currency, lines }: Props) {
  const open = lines.filter((line) => Number(line.creditable) > 0 || Number(line.creditableText) > 0)
  if (open.length === 0) return <p className="soft">All of it is credited.</p>
  return (
    <Form
      name="invoice.credit"
      action={action}
      hidden={{ invoiceId }}
      values={Object.fromEntries(open.map((line) => [`${CREDIT_PREFIX}${line.id}`, line.creditable]))}
      submit="Draft a credit note"
      plain
    >
      {({ field }) => (
        <>
          <Field {...field('reason')} label="Why" hint="The client reads it on the credit note." />
          {open.map((line) => (
            <Fieldset key={line.id} legend={line.description}>
              <Field
                {...field(`${CREDIT_PREFIX}${line.id}`)}
                label="How much to credit"
                hint={`Up to ${line.creditable}${line.unit === '' ? '' : ` ${line.unit}`}. 0 leaves the line as it is.`}
                inputMode="decimal"
                className="n"
              />
              <MoneyField
                {...field(`${CREDIT_AMOUNT_PREFIX}${line.id}`)}
                label="Or an amount, without tax"
                hint={`Up to ${line.creditableText}. Used instead of the quantity.`}
                currency={currency}
              />
              <SelectField
                {...field(`${CREDIT_EFFECT_PREFIX}${line.id}`)}
                label="What happens to the work?"
                hint="A line of several months is credited from its last month on."
                placeholder="Choose"
                options={EFFECTS}
              />
            </Fieldset>
          ))}
        </>
      )}
    </Form>
  )
}
