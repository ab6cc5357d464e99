'use client'

import { zodResolver } from '@hookform/resolvers/zod'
import { useRouter } from 'next/navigation'
import { useState } from 'react'
import { useForm } from 'react-hook-form'
import { ErrorSummary, Field, SelectField, SubmitButton } from '@/components/forms'
import { Notice } from '@/components/paper'
import { newId } from '@/lib/new-id'
import { type PriceItem, priceItemSchema } from '@/lib/office/money/schema'
import { TAX_OPTIONS } from './tax-options'
import { type Act, useSend } from './use-send'

export type PriceValues = Omit<PriceItem, 'id' | 'businessId'>

type Props = {
  businessId: string
  currency: string
  price: PriceValues
  /** Given when an entry is changed. */
  priceItemId?: string
  act: Act
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
]

/** An entry of the price list, new or changed. */
export function PriceForm({ businessId, currency, price, priceItemId, act }: Props) {
  const router = useRouter()
  const [saved, setSaved] = useState(false)
  const form = useForm({
    resolver: zodResolver(priceItemSchema),
    defaultValues: { id: newId(), businessId, ...price },
  })
  const { submit, field, isSubmitting, problems } = useSend(form, {
    act: (input) => act({ ...(input as object), ...(priceItemId ? { priceItemId } : {}) }),
    after: () => {
      form.reset({ ...(priceItemId ? form.getValues() : { businessId, ...price }), id: newId() })
      setSaved(true)
      router.refresh()
    },
  })
  const formId = `price-${priceItemId ?? 'new'}`
  const needsReason = !['S', 'Z'].includes(form.watch('taxCategory'))
  const isTime = ['labour', 'fee'].includes(form.watch('kind'))
  return (
    <form onSubmit={submit} noValidate>
      <ErrorSummary errors={problems(formId)} />
      {saved && !form.formState.isDirty && <Notice>Saved.</Notice>}
      <div className="money-fields">
        <Field {...field('name', formId)} label="Name" hint="As it should stand on the invoice." />
        <SelectField {...field('kind', formId)} label="What it is" options={KINDS} />
        <Field
          {...field('unitPrice', formId)}
          label="Price without tax"
          unit={currency}
          inputMode="decimal"
          className="n"
        />
        <Field
          {...field('unit', formId)}
          label="For one"
          hint="Piece, hour, visit. Hours are billed by the quarter begun."
        />
        <SelectField {...field('taxCategory', formId)} label="Tax" options={TAX_OPTIONS} />
        <Field {...field('taxRate', formId)} label="Tax rate" unit="%" inputMode="decimal" className="n" />
        {needsReason && (
          <Field
            {...field('taxExemptionReason', formId)}
            label="Why no tax is charged"
            hint="Printed on the invoice."
          />
        )}
        <Field
          {...field('validFrom', formId)}
          label="Holds from"
          type="date"
          hint="A later day keeps the old price before it."
        />
        {isTime && <SelectField {...field('forVisitKind', formId)} label="Bills which visits?" options={VISIT_KINDS} />}
      </div>
      <div className="form-actions">
        <SubmitButton plain={priceItemId !== undefined} pending={isSubmitting}>
          {priceItemId ? 'Save' : 'Add to the list'}
        </SubmitButton>
      </div>
    </form>
  )
}
