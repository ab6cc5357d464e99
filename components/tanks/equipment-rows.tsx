'use client'

import { type UseFormReturn, useFieldArray, useWatch } from 'react-hook-form'
import { Field, type FieldOf, SelectField } from '@/components/forms'
import { newId } from '@/lib/new-id'
import type { AddTankInput } from '@/lib/office/tanks/schema'
import { AgeFields } from './age-fields'

export type TakeOverFields = Omit<AddTankInput, 'commandId' | 'businessId'>
type ClassChoice = { value: string; label: string; tankKinds: readonly string[] }
type Props = { form: UseFormReturn<TakeOverFields>; field: FieldOf<string>; classes: readonly ClassChoice[] }

/** The devices of a tank, one after the other; the classes usual for its kind stand first in the list. */
export function EquipmentRows({ form, field, classes }: Props) {
  const rows = useFieldArray({ control: form.control, name: 'equipment', keyName: 'key' })
  const kind = useWatch({ control: form.control, name: 'profile' })
  const devices = useWatch({ control: form.control, name: 'equipment' })
  const usual = classes.filter((entry) => entry.tankKinds.includes(kind))
  const other = classes.filter((entry) => !entry.tankKinds.includes(kind))
  const nameAlike = (index: number, slug: string) => {
    const known = classes.find((entry) => entry.value === slug)
    if (known && form.getValues(`equipment.${index}.label`) === '')
      form.setValue(`equipment.${index}.label`, known.label)
  }
  return (
    <>
      {rows.fields.length === 0 && (
        <p className="soft">Everything with a plug, a pump or a filter. More can be added later on the tank’s page.</p>
      )}
      {rows.fields.map((row, index) => {
        return (
          <fieldset className="register-row" key={row.key}>
            <legend className="visually-hidden">Device {index + 1}</legend>
            <SelectField
              {...field(`equipment.${index}.equipmentClass`)}
              {...form.register(`equipment.${index}.equipmentClass`, {
                onChange: (event) => nameAlike(index, event.target.value),
              })}
              label="Kind of equipment"
              placeholder="Choose one"
            >
              {usual.length > 0 && (
                <optgroup label="Usual for this kind of tank">
                  {usual.map((entry) => (
                    <option key={entry.value} value={entry.value}>
                      {entry.label}
                    </option>
                  ))}
                </optgroup>
              )}
              <optgroup label={usual.length > 0 ? 'Everything else' : 'Everything'}>
                {other.map((entry) => (
                  <option key={entry.value} value={entry.value}>
                    {entry.label}
                  </option>
                ))}
              </optgroup>
            </SelectField>
            <Field {...field(`equipment.${index}.label`)} label="What do you call it?" hint="Heater, left." />
            <AgeFields field={(name) => field(`equipment.${index}.${name}`)} answer={devices[index]?.installed ?? ''} />
            <button type="button" className="quiet" onClick={() => rows.remove(index)}>
              Take this device out
            </button>
          </fieldset>
        )
      })}
      <button
        type="button"
        onClick={() =>
          rows.append({
            id: newId(),
            equipmentClass: '',
            label: '',
            // Not answered yet: the schema asks for it.
            installed: '' as 'unknown',
            installedOn: '',
            confirmedNew: false,
            note: '',
          })
        }
      >
        {rows.fields.length === 0 ? 'Add a device' : 'Add another device'}
      </button>
    </>
  )
}
