'use client'

import { Field, SelectField, TextAreaField } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people'
import { LOT_KIND_OPTIONS } from '@/lib/office/lots/schema'

type Ids = { commandId: string; businessId: string }

/** A new lot: of what, and what it says on it. */
export function AddLotForm({ action, ids }: { action: PostAction; ids: Ids }) {
  return (
    <PostForm action={action} hidden={ids} submit="Add this lot">
      {({ typed, fields }, id) => (
        <>
          <SelectField
            id={id('kind')}
            name="kind"
            label="What is it?"
            placeholder="Choose one"
            options={LOT_KIND_OPTIONS}
            defaultValue={typed.kind ?? ''}
            error={fields.kind?.[0]}
          />
          <Field
            id={id('label')}
            name="label"
            label="Lot number, or a name everybody knows it by"
            hint="As printed on the bucket, bottle or box."
            defaultValue={typed.label ?? ''}
            error={fields.label?.[0]}
          />
          <Field
            id={id('receivedOn')}
            name="receivedOn"
            type="date"
            label="When did it come?"
            hint="May stay empty."
            defaultValue={typed.receivedOn ?? ''}
            error={fields.receivedOn?.[0]}
          />
          <input type="hidden" name="note" value="" />
        </>
      )}
    </PostForm>
  )
}

type EditProps = {
  action: PostAction
  ids: Ids & { lotId: string }
  lot: { label: string; receivedOn: string | null; usedUpOn: string | null; note: string }
}

/** What is known of a lot. Used up, it is no longer offered at visits. */
export function EditLotForm({ action, ids, lot }: EditProps) {
  return (
    <PostForm action={action} hidden={ids} submit="Save" plain>
      {({ typed, fields }, id) => (
        <>
          <Field
            id={id('label')}
            name="label"
            label="Lot number or name"
            defaultValue={typed.label ?? lot.label}
            error={fields.label?.[0]}
          />
          <Field
            id={id('receivedOn')}
            name="receivedOn"
            type="date"
            label="When did it come?"
            defaultValue={typed.receivedOn ?? lot.receivedOn ?? ''}
            error={fields.receivedOn?.[0]}
          />
          <Field
            id={id('usedUpOn')}
            name="usedUpOn"
            type="date"
            label="Used up or taken out of use on"
            hint="Empty while it is in use."
            defaultValue={typed.usedUpOn ?? lot.usedUpOn ?? ''}
            error={fields.usedUpOn?.[0]}
          />
          <TextAreaField
            id={id('note')}
            name="note"
            label="Note"
            rows={2}
            defaultValue={typed.note ?? lot.note}
            error={fields.note?.[0]}
          />
        </>
      )}
    </PostForm>
  )
}
