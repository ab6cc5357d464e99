'use client'

import { type Save, useRegisterForm } from '@/components/clients'
import { RegisterForm } from '@/components/clients/register-form'
import { Field, NumberField } from '@/components/forms'
import { correctLevelSchema, recordLevelSchema } from '@/lib/office/refills/schema'

type Made = { reservoirId: string; tankId: string }
type Common = { businessId: string; unit: string; backHref: string; save: Save<Made> }

/** A level that somebody told outside a visit. */
export function RecordLevelForm(props: Common & { reservoirId: string; today: string }) {
  const { businessId, reservoirId, unit, backHref, save, today } = props
  const { field, form, ...frame } = useRegisterForm({
    schema: recordLevelSchema,
    businessId,
    fields: { reservoirId, measuredOn: today, levelBefore: '', levelAfter: '' },
    save: async (input) => {
      const result = await save(input)
      if (result.ok) form.reset()
      return result
    },
    next: () => backHref,
  })
  return (
    <RegisterForm {...frame} words="Write it down" cancelHref={backHref}>
      <Levels field={field} unit={unit} />
    </RegisterForm>
  )
}

type Was = { id: string; on: string; before: string; after: string }

/** What one record should have read. */
export function CorrectLevelForm({ businessId, unit, backHref, save, was }: Common & { was: Was }) {
  const {
    field,
    form: _,
    ...frame
  } = useRegisterForm({
    schema: correctLevelSchema,
    businessId,
    fields: { levelId: was.id, measuredOn: was.on, levelBefore: was.before, levelAfter: was.after },
    save,
    next: () => backHref,
  })
  return (
    <RegisterForm {...frame} words="Put it right" cancelHref={backHref}>
      <Levels field={(name) => ({ ...field(name), id: `${was.id}-${name}` })} unit={unit} />
    </RegisterForm>
  )
}

type Name = 'measuredOn' | 'levelBefore' | 'levelAfter'

function Levels(props: {
  field: (name: Name) => ReturnType<ReturnType<typeof useRegisterForm>['field']>
  unit: string
}) {
  const { field, unit } = props
  return (
    <>
      <Field {...field('measuredOn')} label="On which day?" type="date" />
      <NumberField {...field('levelBefore')} label="What was in it" hint="Before anybody filled it." unit={unit} />
      <NumberField {...field('levelAfter')} label="After filling" hint="Blank: nobody filled it." unit={unit} />
    </>
  )
}
