'use client'

import { type Save, useRegisterForm } from '@/components/clients'
import { RegisterForm } from '@/components/clients/register-form'
import { CheckField, ChoiceField, Field, SelectField, TextAreaField } from '@/components/forms'
import {
  addEquipmentSchema,
  editEquipmentSchema,
  replaceEquipmentSchema,
  retireEquipmentSchema,
} from '@/lib/office/tanks/schema'
import { AgeFields } from './age-fields'

type Choice = { value: string; label: string }
type Props = { businessId: string; tankId: string; save: Save<{ tankId: string }> }
type Device = {
  id: string
  label: string
  installed: 'on' | 'unknown'
  installedOn: string
  confirmedNew: boolean
  note: string
}

const toTank = ({ tankId }: { tankId: string }) => `/tanks/${tankId}`

/** One more device, in a place of its own or in an empty one. */
export function AddEquipmentForm(
  props: Props & { classes: readonly Choice[]; slot?: { id: string; equipmentClass: string } },
) {
  const { businessId, tankId, save, classes, slot } = props
  const { form, field, ...frame } = useRegisterForm({
    schema: addEquipmentSchema,
    businessId,
    fields: {
      tankId,
      slotId: slot?.id ?? '',
      equipmentClass: slot?.equipmentClass ?? '',
      label: '',
      installedOn: '',
      confirmedNew: false,
      note: '',
    },
    save,
    next: toTank,
  })
  return (
    <RegisterForm {...frame} words="Add this device" cancelHref={`/tanks/${tankId}`}>
      <SelectField {...field('equipmentClass')} label="Kind of equipment" placeholder="Choose one" options={classes} />
      <Field {...field('label')} label="What do you call it?" hint="Heater, left." />
      <AgeFields
        control={form.control}
        installed={field('installed')}
        installedOn={field('installedOn')}
        confirmedNew={field('confirmedNew')}
      />
      <TextAreaField {...field('note')} label="Note" rows={2} />
    </RegisterForm>
  )
}

/** What is written about a device, put right. */
export function EditEquipmentForm({ businessId, tankId, save, device }: Props & { device: Device }) {
  const { id: equipmentId, label, installed, installedOn, confirmedNew, note } = device
  const { form, field, ...frame } = useRegisterForm({
    schema: editEquipmentSchema,
    businessId,
    fields: { equipmentId, label, installed, installedOn, confirmedNew, note },
    save,
    next: toTank,
  })
  return (
    <RegisterForm {...frame} words="Save" cancelHref={`/tanks/${tankId}`}>
      <Field {...field('label')} label="What do you call it?" />
      <AgeFields
        control={form.control}
        installed={field('installed')}
        installedOn={field('installedOn')}
        confirmedNew={field('confirmedNew')}
      />
      <TextAreaField {...field('note')} label="Note" rows={2} />
    </RegisterForm>
  )
}

type RemovalProps = Props & { device: Device; modes: readonly Choice[]; today: string }

/** Another device in its place; the old one's life ends with the reason given. */
export function ReplaceEquipmentForm({ businessId, tankId, save, device, modes, today }: RemovalProps) {
  const {
    field,
    form: _,
    ...frame
  } = useRegisterForm({
    schema: replaceEquipmentSchema,
    businessId,
    fields: { equipmentId: device.id, on: today, becauseMode: '', label: device.label, note: '' },
    save,
    next: toTank,
  })
  return (
    <RegisterForm {...frame} words="Replace it" cancelHref={`/tanks/${tankId}`}>
      <Field {...field('on')} label="On which day?" type="date" max={today} />
      <SelectField
        {...field('becauseMode')}
        label="What ended the old one?"
        hint="Leave it if nothing was wrong with it."
        placeholder="Nothing was wrong"
        options={modes}
      />
      <Field {...field('label')} label="What do you call the new one?" />
      <ChoiceField
        {...field('isNew')}
        label="Is the device that goes in new?"
        options={[
          { value: 'yes', label: 'New' },
          { value: 'no', label: 'Used, age unknown' },
        ]}
      />
      <TextAreaField {...field('note')} label="Note" rows={2} />
    </RegisterForm>
  )
}

/** Out for good, with nothing in its place for now. */
export function RetireEquipmentForm({ businessId, tankId, save, device, modes, today }: RemovalProps) {
  const {
    field,
    form: _,
    ...frame
  } = useRegisterForm({
    schema: retireEquipmentSchema,
    businessId,
    fields: { equipmentId: device.id, on: today, becauseMode: '', keepSlot: false },
    save,
    next: toTank,
  })
  return (
    <RegisterForm {...frame} words="Take it out" cancelHref={`/tanks/${tankId}`}>
      <Field {...field('on')} label="On which day?" type="date" max={today} />
      <SelectField
        {...field('becauseMode')}
        label="What ended it?"
        hint="Leave it if nothing was wrong with it."
        placeholder="Nothing was wrong"
        options={modes}
      />
      <CheckField {...field('keepSlot')} label="Another one will take its place later" />
    </RegisterForm>
  )
}
