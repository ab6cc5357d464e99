'use client'

import { type Save, useRegisterForm } from '@/components/clients'
import { RegisterForm } from '@/components/clients/register-form'
import { editTankSchema, type TankFields } from '@/lib/office/tanks/schema'
import { TankInputs } from './tank-inputs'

type Choice = { value: string; label: string }
type Props = {
  businessId: string
  save: Save<{ tankId: string }>
  sites: readonly Choice[]
  kinds: readonly Choice[]
  unitWords: string
  tank: { id: string; fields: TankFields }
}

/** What is written about a tank. */
export function EditTankForm({ businessId, save, sites, kinds, unitWords, tank }: Props) {
  const href = `/tanks/${tank.id}`
  const {
    field,
    form: _,
    ...frame
  } = useRegisterForm({
    schema: editTankSchema,
    businessId,
    fields: { ...tank.fields, tankId: tank.id },
    save,
    next: () => href,
  })
  return (
    <RegisterForm {...frame} words="Save" cancelHref={href}>
      <TankInputs field={field} sites={sites} kinds={kinds} unit={unitWords} />
    </RegisterForm>
  )
}
