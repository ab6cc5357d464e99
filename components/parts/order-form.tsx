'use client'

import { Field, Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { type FigureRow, FigureRows, figureValues } from './figure-rows'

type Props = { action: FormAction; supplierId: string; rows: readonly FigureRow[]; today: string }

/** An order at one supplier: quantities are suggestions, blank is not ordered. */
export function OrderForm({ action, supplierId, rows, today }: Props) {
  return (
    <Form
      name="order.place"
      action={action}
      hidden={{ supplierId }}
      values={{ orderedOn: today, ...figureValues(rows) }}
      submit="Write down as ordered"
    >
      {({ field }) => (
        <>
          <FigureRows rows={rows} label="Order" field={field} />
          <div className="parts-fields">
            <Field {...field('orderedOn')} label="Ordered on" type="date" />
            <Field
              {...field('expectedOn')}
              label="Expected on"
              type="date"
              hint="Blank: after the usual days of the supplier; a Sunday becomes the Monday."
            />
            <Field {...field('note')} label="Note" hint="Order number, or blank." />
          </div>
        </>
      )}
    </Form>
  )
}
