'use client'

import { zodResolver } from '@hookform/resolvers/zod'
import { useRouter } from 'next/navigation'
import { useState } from 'react'
import { useFieldArray, useForm } from 'react-hook-form'
import { ErrorSummary, Field, SelectField, SubmitButton, TextAreaField } from '@/components/forms'
import { Notice } from '@/components/paper'
import { newId } from '@/lib/new-id'
import { editDraftSchema } from '@/lib/office/money/schema'
import { DraftLineFields } from './draft-line-fields'
import type { DraftLineValues, PriceChoice } from './draft-values'
import { type Act, useSend } from './use-send'

type Props = {
  businessId: string
  invoiceId: string
  purchaseOrder: string
  note: string
  lines: (DraftLineValues & { placeName: string; billsWork: boolean })[]
  prices: readonly PriceChoice[]
  /** The day given to a new line at first. */
  today: string
  currency: string
  /** How a line that the price list does not know is taxed at first. */
  tax: Pick<DraftLineValues, 'taxCategory' | 'taxRate'>
  /** A credit note takes no new lines. */
  fixedLines: boolean
  act: Act<{ invoiceId: string; grossMinor: number }>
}

const FORM = 'draft'

/** Lines, order number and note of a draft. Lines come from the work, from the price list, or are written freely. */
export function DraftForm(props: Props) {
  const { businessId, invoiceId, purchaseOrder, note, lines, prices, today, currency, tax, fixedLines, act } = props
  const router = useRouter()
  const [saved, setSaved] = useState(false)
  const form = useForm({
    resolver: zodResolver(editDraftSchema),
    defaultValues: { id: newId(), businessId, invoiceId, purchaseOrder, note, lines: lines.map(typedLine) },
  })
  const rows = useFieldArray({ control: form.control, name: 'lines', keyName: 'key' })
  const { submit, field, isSubmitting, problems } = useSend(form, {
    act,
    after: () => {
      form.reset({ ...form.getValues(), id: newId() })
      setSaved(true)
      router.refresh()
    },
  })
  const known = new Map(lines.map((line) => [line.id, line]))
  const add = (price: PriceChoice | undefined) =>
    rows.append({
      id: newId(),
      description: price?.name ?? '',
      quantity: '1',
      unit: price?.unit ?? '',
      unitPrice: price?.unitPrice ?? '',
      taxCategory: price?.taxCategory ?? tax.taxCategory,
      taxRate: price?.taxRate ?? tax.taxRate,
      taxExemptionReason: price?.taxExemptionReason ?? '',
      serviceStart: today,
      serviceEnd: today,
    })
  return (
    <form onSubmit={submit} noValidate>
      <ErrorSummary errors={problems(FORM)} />
      {saved && !form.formState.isDirty && <Notice>Saved.</Notice>}
      <Field
        {...field('purchaseOrder', FORM)}
        label="Purchase order"
        hint="The client’s own number for this; may stay empty."
      />
      {rows.fields.map((row, index) => (
        <DraftLineFields
          key={row.key}
          index={index}
          currency={currency}
          placeName={known.get(row.id)?.placeName ?? ''}
          billsWork={known.get(row.id)?.billsWork ?? false}
          category={form.watch(`lines.${index}.taxCategory`)}
          field={(name) => field(`lines.${index}.${name}`, FORM)}
          remove={() => rows.remove(index)}
        />
      ))}
      {!fixedLines && (
        <SelectField
          label="Add a line"
          id={`${FORM}-lines`}
          value=""
          placeholder="Choose from the price list, or write a free line"
          options={[
            ...prices.map(({ id, name, unitPrice, unit }) => ({
              value: id,
              label: `${name}, ${unitPrice} per ${unit}`,
            })),
            { value: 'free', label: 'A free line' },
          ]}
          onChange={(event) => add(prices.find(({ id }) => id === event.target.value))}
        />
      )}
      <TextAreaField
        {...field('note', FORM)}
        label="Note on the paper"
        hint="Printed under the total; may stay empty."
      />
      <div className="form-actions">
        <SubmitButton plain pending={isSubmitting}>
          Save the draft
        </SubmitButton>
        {form.formState.isDirty && <span className="soft">Not saved yet.</span>}
      </div>
    </form>
  )
}

function typedLine({ placeName: _, billsWork: __, ...line }: Props['lines'][number]): DraftLineValues {
  return line
}
