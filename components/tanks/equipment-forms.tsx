'use client'

import { CheckField, ChoiceField, Field, Form, SelectField, TextAreaField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { AgeFields } from './age-fields'

type Choice = { value: string; label: string }
type Props = { action: FormAction; tankId: string }
type Device = {
  id: string
  label: string
  installed: 'on' | 'unknown'
  installedOn: string
  confirmedNew: boolean
  note: string
}

type AddProps = Props & { classes: readonly Choice[]; slot?: { id: string; equipmentClass: string } }

/** One more device, in a place of its own or in an empty one. */
export function AddEquipmentForm({ action, tankId, classes, slot }: AddProps) {
  return (
    <Form
      name="equipment.add"
      action={action}
      hidden={{ tankId, slotId: slot?.id ?? '' }}
      values={{ equipmentClass: slot?.equipmentClass ?? '', confirmedNew: false }}
      submit="Add this device"
      cancelHref={`/tanks/${tankId}`}
    >
      {({ field, typed }) => (
        <>
          <SelectField
            {...field('equipmentClass')}
            label="Kind of equipment"
            placeholder="Choose one"
            options={classes}
          />
          <Field {...field('label')} label="What do you call it?" hint="Heater, left." />
          <AgeFields field={field} answer={typed('installed')} />
          <TextAreaField {...field('note')} label="Note" rows={2} />
        </>
      )}
    </Form>
  )
}

/** What is written about a device, put right. */
export function EditEquipmentForm({ action, tankId, device }: Props & { device: Device }) {
  const { id: equipmentId, label, installed, installedOn, confirmedNew, note } = device
  return (
    <Form
      name="equipment.edit"
      action={action}
      hidden={{ equipmentId }}
      values={{ label, installed, installedOn, confirmedNew, note }}
      submit="Save"
      cancelHref={`/tanks/${tankId}`}
    >
      {({ field, typed }) => (
        <>
          <Field {...field('label')} label="What do you call it?" />
          <AgeFields field={field} answer={typed('installed')} />
          <TextAreaField {...field('note')} label="Note" rows={2} />
        </>
      )}
    </Form>
  )
}

type RemovalProps = Props & { device: Device; modes: readonly Choice[]; today: string }

/** Another device in its place; the old one's life ends with the reason given. */
export function ReplaceEquipmentForm({ action, tankId, device, modes, today }: RemovalProps) {
  return (
    <Form
      name="equipment.replace"
      action={action}
      hidden={{ equipmentId: device.id }}
      values={{ on: today, label: device.label }}
      submit="Replace it"
      cancelHref={`/tanks/${tankId}`}
    >
      {({ field }) => (
        <>
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
        </>
      )}
    </Form>
  )
}

/** Out for good, with nothing in its place for now. */
export function RetireEquipmentForm({ action, tankId, device, modes, today }: RemovalProps) {
  return (
    <Form
      name="equipment.retire"
      action={action}
      hidden={{ equipmentId: device.id }}
      values={{ on: today, keepSlot: false }}
      submit="Take it out"
      cancelHref={`/tanks/${tankId}`}
    >
      {({ field }) => (
        <>
          <Field {...field('on')} label="On which day?" type="date" max={today} />
          <SelectField
            {...field('becauseMode')}
            label="What ended it?"
            hint="Leave it if nothing was wrong with it."
            placeholder="Nothing was wrong"
            options={modes}
          />
          <CheckField {...field('keepSlot')} label="Another one will take its place later" />
        </>
      )}
    </Form>
  )
}
