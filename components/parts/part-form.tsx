'use client'

import { Field, MoneyField, NumberField, SelectField, TextAreaField } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people'
import { EMPTY_PART, type PartFields } from '@/lib/office/parts/schema'
import { type Choice, fieldsOf, type Hidden } from './fields'

type Props = {
  action: PostAction
  hidden: Hidden
  currency: string
  suppliers: readonly Choice[]
  prices: readonly Choice[]
  part?: PartFields
}

/** What is known of a part; the same fields for a new one. */
export function PartForm({ action, hidden, currency, suppliers, prices, part }: Props) {
  return (
    <PostForm action={action} hidden={hidden} submit={part ? 'Save' : 'Add the part'}>
      {(state, id) => {
        const field = fieldsOf(state, id, part ?? EMPTY_PART)
        return (
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
            <MoneyField
              {...field('cost')}
              currency={currency}
              label="What one costs us"
              hint="Without tax. May stay blank."
            />
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
        )
      }}
    </PostForm>
  )
}
