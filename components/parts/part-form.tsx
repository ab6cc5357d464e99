'use client'

import { Field, Form, MoneyField, NumberField, SelectField, TextAreaField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { EMPTY_PART, type PartFields } from '@/lib/office/parts/schema'
import type { Choice } from './fields'

type Props = {
  action: FormAction
  currency: string
  suppliers: readonly Choice[]
  prices: readonly Choice[]
  part?: { id: string; fields: PartFields }
}

/** What is known of a part; the same fields for a new one. */
export function PartForm({ action, currency, suppliers, prices, part }: Props) {
  return (
    <Form
      name={part ? 'part.edit' : 'part.add'}
      action={action}
      hidden={part && { partId: part.id }}
      values={part?.fields ?? EMPTY_PART}
      submit={part ? 'Save' : 'Add the part'}
    >
      {({ field }) => (
        <div className="parts-fields">
          <Field {...field('name')} label="Name" autoComplete="off" />
          <Field {...field('unit')} label="Counted in" hint="Piece, metre, litre." autoComplete="off" />
          <SelectField {...field('supplierId')} label="Supplier" placeholder="None yet" options={suppliers} />
          <NumberField
            {...field('leadTimeDays')}
            whole
            label="Days from ordering to the shelf"
            hint="Blank: the supplier’s usual ones."
            unit="days"
          />
          <NumberField {...field('packSize')} whole label="Comes in packs of" />
          <MoneyField {...field('cost')} currency={currency} label="What one costs us" hint="Without tax. Optional." />
          <MoneyField
            {...field('orderCost')}
            currency={currency}
            label="What one order costs"
            hint="Postage and the time it takes. Weighed against keeping more."
          />
          <NumberField
            {...field('servicePercent')}
            label="How often it should be enough"
            hint="95: enough 19 times in 20 until new ones come."
            unit="%"
          />
          <SelectField
            {...field('priceItemId')}
            label="Billed as"
            placeholder="Not on the price list"
            options={prices}
          />
          <div className="wide">
            <TextAreaField {...field('note')} label="Note" rows={2} />
          </div>
        </div>
      )}
    </Form>
  )
}
