'use client'

import { Field, Form, SelectField, TextAreaField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { LOT_KIND_OPTIONS } from '@/lib/office/lots/schema'

/** A new lot: of what, and what it says on it. */
export function AddLotForm({ action }: { action: FormAction }) {
  return (
    <Form name="lot.add" action={action} hidden={{ note: '' }} submit="Add this lot">
      {({ field }) => (
        <>
          <SelectField {...field('kind')} label="What is it?" placeholder="Choose one" options={LOT_KIND_OPTIONS} />
          <Field
            {...field('label')}
            label="Lot number, or a name everybody knows it by"
            hint="As printed on the bucket, container or box."
          />
          <Field {...field('receivedOn')} type="date" label="When did it come?" hint="Optional." />
        </>
      )}
    </Form>
  )
}

type EditProps = {
  action: FormAction
  lot: { id: string; label: string; receivedOn: string | null; usedUpOn: string | null; note: string }
}

/** What is known of a lot. Used up, it is no longer offered at visits. */
export function EditLotForm({ action, lot }: EditProps) {
  const { id: lotId, label, receivedOn, usedUpOn, note } = lot
  return (
    <Form
      name="lot.edit"
      action={action}
      hidden={{ lotId }}
      values={{ label, receivedOn, usedUpOn, note }}
      submit="Save"
      plain
    >
      {({ field }) => (
        <>
          <Field {...field('label')} label="Lot number or name" />
          <Field {...field('receivedOn')} type="date" label="When did it come?" />
          <Field
            {...field('usedUpOn')}
            type="date"
            label="Used up or taken out of use on"
            hint="Empty while it is in use."
          />
          <TextAreaField {...field('note')} label="Note" rows={2} />
        </>
      )}
    </Form>
  )
}
