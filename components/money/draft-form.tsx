'use client'

import { useState } from 'react'
import { useFieldArray, useForm } from 'react-hook-form'
import { CheckField, Field, Form, SelectField, TextAreaField } from '@/components/forms'
import { newId } from '@/lib/new-id'
import type { FormAction } from '@/lib/office/frame/schema'
import { DraftLineFields } from './draft-line-fields'
import type { DraftLineValues, PriceChoice } from './draft-values'

type Props = {
  action: FormAction<{ seen: string }>
  invoiceId: string
  purchaseOrder: string
  note: string
  /** The newest change that this form shows at first; after a save of its own it is that one. */
  seen: string
  lines: (DraftLineValues & { placeName: string; billsWork: boolean })[]
  prices: readonly PriceChoice[]
  /** The day given to a new line at first. */
  today: string
  currency: string
  /** How a line that the price list does not know is taxed at first. */
  tax: Pick<DraftLineValues, 'taxCategory' | 'taxRate' | 'taxParts'>
  /** A credit note takes no new lines. */
  fixedLines: boolean
}

/** Lines, order number and note of a draft. Lines come from the work, from the price list, or are written freely. */
export function DraftForm(props: Props) {
  const { action, invoiceId, purchaseOrder, note, seen, lines, prices, today, currency, tax, fixedLines } = props
  const form = useForm({
    defaultValues: { purchaseOrder, note, changeAccepted: false, lines: lines.map(typedLine) },
  })
  // Not the page's newest: that may be a change which these lines do not show.
  const [shown, setShown] = useState(seen)
  const rows = useFieldArray({ control: form.control, name: 'lines', keyName: 'key' })
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
      taxParts: (price ?? tax).taxParts ?? '',
      serviceStart: today,
      serviceEnd: today,
    })
  return (
    <Form
      name="draft.edit"
      about={invoiceId}
      action={action}
      hidden={{ invoiceId, seen: shown }}
      rows={form}
      sent={({ seen: saved }) => {
        setShown(saved)
        form.setValue('changeAccepted', false) // a yes was to that change, not to the next
      }}
      submit="Save the draft"
      plain
    >
      {({ field, refusal }) => (
        <>
          <Field
            {...field('purchaseOrder')}
            label="Purchase order"
            hint="The client’s own number for this. Optional."
          />
          {rows.fields.map((row, index) => (
            <DraftLineFields
              key={row.key}
              index={index}
              currency={currency}
              placeName={known.get(row.id)?.placeName ?? ''}
              billsWork={known.get(row.id)?.billsWork ?? false}
              category={form.watch(`lines.${index}.taxCategory`)}
              field={(name) => field(`lines.${index}.${name}`)}
              remove={() => rows.remove(index)}
            />
          ))}
          {!fixedLines && (
            <SelectField
              label="Add a line"
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
          <TextAreaField {...field('note')} label="Note on the paper" hint="Printed under the total. Optional." />
          {refusal === 'changed-meanwhile' && (
            <CheckField {...field('changeAccepted')} label="Yes, put mine in its place" />
          )}
        </>
      )}
    </Form>
  )
}

function typedLine({ placeName: _, billsWork: __, ...line }: Props['lines'][number]): DraftLineValues {
  return line
}
