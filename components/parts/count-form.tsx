'use client'

import { Field } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people'
import { fieldsOf, type Hidden } from './fields'
import { type FigureRow, FigureRows } from './figure-rows'

type Props = { action: PostAction; hidden: Hidden; rows: readonly FigureRow[]; today: string }

/** The count sheet of one place. Blank: not counted, stays as it is. */
export function CountForm({ action, hidden, rows, today }: Props) {
  return (
    <PostForm action={action} hidden={hidden} submit="Save the count">
      {(state, id) => (
        <>
          <FigureRows rows={rows} label="Counted" state={state} id={id} />
          <Field {...fieldsOf(state, id, { countedOn: today })('countedOn')} label="Counted on" type="date" />
        </>
      )}
    </PostForm>
  )
}
