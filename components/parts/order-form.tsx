'use client'

import { Field } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people'
import { fieldsOf, type Hidden } from './fields'
import { type FigureRow, FigureRows } from './figure-rows'

type Props = { action: PostAction; hidden: Hidden; rows: readonly FigureRow[]; today: string }

/** An order at one supplier: quantities are suggestions, blank is not ordered. */
export function OrderForm({ action, hidden, rows, today }: Props) {
  return (
    <PostForm action={action} hidden={hidden} submit="Write down as ordered">
      {(state, id) => {
        const field = fieldsOf(state, id, { orderedOn: today, expectedOn: '', note: '' })
        return (
          <>
            <FigureRows rows={rows} label="Order" state={state} id={id} />
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
        )
      }}
    </PostForm>
  )
}
