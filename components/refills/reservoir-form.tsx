'use client'

import { type Save, useRegisterForm } from '@/components/clients'
import { RegisterForm } from '@/components/clients/register-form'
import { ChoiceField, Field, NumberField, SelectField } from '@/components/forms'
import {
  addReservoirSchema,
  EMPTY_RESERVOIR,
  editReservoirSchema,
  type ReservoirFields,
} from '@/lib/office/refills/schema'

type Choice = { value: string; label: string }
type Kind = Choice & { units: readonly string[]; how: string }
type Made = { reservoirId: string; tankId: string }

const WHO = [
  { value: 'technician', label: 'We do' },
  { value: 'site-staff', label: 'The people on site' },
]

type AddProps = {
  businessId: string
  tankId: string
  kinds: readonly Kind[]
  devices: readonly Choice[]
  save: Save<Made>
}

/** Sets up a container. The unit can be chosen once the kind is. */
export function AddReservoirForm({ businessId, tankId, kinds, devices, save }: AddProps) {
  const { field, form, ...frame } = useRegisterForm({
    schema: addReservoirSchema,
    businessId,
    fields: { ...EMPTY_RESERVOIR, tankId },
    save,
    next: ({ reservoirId }) => `/tanks/${tankId}/refills/${reservoirId}`,
  })
  const kind = kinds.find(({ value }) => value === form.watch('kind'))
  return (
    <RegisterForm {...frame} words="Set it up" cancelHref={`/tanks/${tankId}`}>
      <SelectField {...field('kind')} label="What is in it?" placeholder="Choose one" options={kinds} />
      <Field {...field('label')} label="What do you call it?" hint="As it is written on it: Alkalinity, left bottle." />
      <SelectField
        {...field('unit')}
        label="Counted in"
        placeholder={kind ? 'Choose one' : 'Choose what is in it first'}
        options={(kind?.units ?? []).map((unit) => ({ value: unit, label: unit }))}
      />
      <Rest field={field} kind={kind} unit={form.watch('unit')} devices={devices} />
    </RegisterForm>
  )
}

type EditProps = {
  businessId: string
  tankId: string
  reservoirId: string
  fields: ReservoirFields
  kinds: readonly Kind[]
  devices: readonly Choice[]
  save: Save<Made>
}

/** Puts right what is written about a container. */
export function EditReservoirForm({ businessId, tankId, reservoirId, fields, kinds, devices, save }: EditProps) {
  const { field, form, ...frame } = useRegisterForm({
    schema: editReservoirSchema,
    businessId,
    fields: { ...fields, reservoirId },
    save,
    next: () => `/tanks/${tankId}/refills/${reservoirId}`,
  })
  const kind = kinds.find(({ value }) => value === form.watch('kind'))
  return (
    <RegisterForm {...frame} words="Put it right" cancelHref={`/tanks/${tankId}`}>
      <SelectField {...field('kind')} label="What is in it?" options={kinds} />
      <Field {...field('label')} label="What do you call it?" />
      <SelectField
        {...field('unit')}
        label="Counted in"
        options={(kind?.units ?? []).map((unit) => ({ value: unit, label: unit }))}
      />
      <Rest field={field} kind={kind} unit={form.watch('unit')} devices={devices} />
    </RegisterForm>
  )
}

type RestName = 'capacity' | 'emptyAt' | 'filledBy' | 'equipmentId'
type RestProps = {
  field: (name: RestName) => ReturnType<ReturnType<typeof useRegisterForm>['field']>
  kind: Kind | undefined
  unit: string
  devices: readonly Choice[]
}

function Rest({ field, kind, unit, devices }: RestProps) {
  const isGas = kind?.value === 'gas'
  return (
    <>
      <NumberField
        {...field('capacity')}
        label={isGas ? 'Weight of the full bottle' : 'How much it holds full'}
        hint={kind?.how}
        unit={unit}
      />
      <NumberField
        {...field('emptyAt')}
        label={isGas ? 'Weight of the empty bottle' : 'Empty means'}
        hint={isGas ? 'It is stamped on the shoulder.' : 'What the pump cannot reach. Blank: 0.'}
        unit={unit}
      />
      <ChoiceField {...field('filledBy')} label="Who fills it?" options={WHO} />
      {devices.length > 0 && (
        <SelectField
          {...field('equipmentId')}
          label="Which device takes from it?"
          placeholder="None"
          options={devices}
        />
      )}
    </>
  )
}
