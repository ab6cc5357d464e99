'use client'

import { Field, Form, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import type { PriceItem } from '@/lib/office/money/schema'
import { TAX_OPTIONS, TAX_PARTS_HINT, TAX_REASON_HINT } from './tax-options'

export type PriceValues = Omit<PriceItem, 'id' | 'businessId'>

type Props = {
  action: FormAction
  currency: string
  price: PriceValues
  /** Given when an entry is changed. */
  priceItemId?: string
}

const KINDS = [
  { value: 'labour', label: 'Labour' },
  { value: 'part', label: 'Part' },
  { value: 'fee', label: 'Fee' },
  { value: 'travel', label: 'Travel' },
  { value: 'animal', label: 'Animal' },
]
const VISIT_KINDS = [
  { value: '', label: 'No kind in particular' },
  { value: 'routine', label: 'Routine visits without a fee' },
  { value: 'call_out', label: 'Call-outs' },
  { value: 'installation', label: 'Installations' },
  { value: 'out_of_hours', label: 'Visits out of hours' },
]

/** An entry of the price list, new or changed. */
export function PriceForm({ action, currency, price, priceItemId }: Props) {
  return (
    <Form
      name={priceItemId ? 'price.edit' : 'price.add'}
      action={action}
      hidden={priceItemId ? { priceItemId } : {}}
      values={price}
      submit={priceItemId ? 'Save' : 'Add to the list'}
      plain={priceItemId !== undefined}
    >
      {({ field, typed }) => (
        <div className="money-fields">
          <Field {...field('name')} label="Name" hint="As it should stand on the invoice." />
          <SelectField {...field('kind')} label="What it is" options={KINDS} />
          <Field {...field('unitPrice')} label="Price without tax" unit={currency} inputMode="decimal" className="n" />
          <Field {...field('unit')} label="For one" hint="Piece, hour, visit. Hours are billed by the quarter begun." />
          <SelectField {...field('taxCategory')} label="Tax" options={TAX_OPTIONS} />
          {typed('taxCategory') === 'S' && (
            <>
              <Field {...field('taxRate')} label="Tax rate" unit="%" inputMode="decimal" className="n" />
              <Field {...field('taxParts')} label="Made of several taxes?" hint={TAX_PARTS_HINT} />
            </>
          )}
          {!['S', 'Z'].includes(typed('taxCategory')) && (
            <Field {...field('taxExemptionReason')} label="Why no tax is charged" hint={TAX_REASON_HINT} />
          )}
          <Field
            {...field('validFrom')}
            label="Holds from"
            type="date"
            hint="A later day keeps the old price before it."
          />
          {['labour', 'fee'].includes(typed('kind')) && (
            <SelectField {...field('forVisitKind')} label="Bills which visits?" options={VISIT_KINDS} />
          )}
        </div>
      )}
    </Form>
  )
}
