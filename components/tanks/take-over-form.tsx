'use client'

import { type Save, useRegisterForm } from '@/components/clients'
import { RegisterForm } from '@/components/clients/register-form'
import { Fieldset } from '@/components/forms'
import { addTankSchema, EMPTY_TANK, type TankFields } from '@/lib/office/tanks/schema'
import { EquipmentRows } from './equipment-rows'
import { TankInputs } from './tank-inputs'

type Choice = { value: string; label: string }
export type TakeOverFormProps = {
  businessId: string
  save: Save<{ tankId: string }>
  sites: readonly Choice[]
  kinds: readonly Choice[]
  classes: readonly (Choice & { tankKinds: readonly string[] })[]
  volumeUnit: TankFields['volumeUnit']
  unitWords: string
  siteId: string
  today: string
}

/** Taking over a tank: one calm form from the address to the last pump. */
export function TakeOverForm(props: TakeOverFormProps) {
  const { businessId, save, sites, kinds, classes, volumeUnit, unitWords, siteId, today } = props
  const { form, field, ...frame } = useRegisterForm({
    schema: addTankSchema,
    businessId,
    // The kind is left open: an answer nobody gave must not be in the record.
    fields: { ...EMPTY_TANK, name: '', volume: '', volumeUnit, siteId, takenOverOn: today, equipment: [] },
    save,
    next: ({ tankId }) => `/tanks/${tankId}`,
  })
  return (
    <RegisterForm {...frame} words="Take over this tank" cancelHref="/tanks">
      <TankInputs field={field} sites={sites} kinds={kinds} unit={unitWords} />
      <Fieldset legend="Equipment">
        <EquipmentRows form={form} field={field} classes={classes} />
      </Fieldset>
    </RegisterForm>
  )
}
