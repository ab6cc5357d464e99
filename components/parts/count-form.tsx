'use client'

import { Field, Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { type FigureRow, FigureRows, figureValues } from './figure-rows'

type Props = { action: FormAction; placeId: string; rows: readonly FigureRow[]; today: string }

/** The count sheet of one place. Blank: not counted, stays as it is. */
export function CountForm({ action, placeId, rows, today }: Props) {
  return (
    <Form
      name="stock.count"
      action={action}
      hidden={{ placeId }}
      values={{ countedOn: today, ...figureValues(rows) }}
      submit="Save the count"
    >
      {({ field }) => (
        <>
          <FigureRows rows={rows} label="Counted" field={field} />
          <Field {...field('countedOn')} label="Counted on" type="date" />
        </>
      )}
    </Form>
  )
}
