'use client'

import { Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import type { TankFields } from '@/lib/office/tanks/schema'
import { TankInputs } from './tank-inputs'

type Choice = { value: string; label: string }
type Props = {
  action: FormAction
  sites: readonly Choice[]
  kinds: readonly Choice[]
  unitWords: string
  tank: { id: string; fields: TankFields }
}

/** What is written about a tank. */
export function EditTankForm({ action, sites, kinds, unitWords, tank }: Props) {
  const { volumeUnit, ...values } = tank.fields
  return (
    <Form
      name="tank.edit"
      action={action}
      hidden={{ tankId: tank.id, volumeUnit }}
      values={values}
      submit="Save"
      cancelHref={`/tanks/${tank.id}`}
    >
      {({ field }) => <TankInputs field={field} sites={sites} kinds={kinds} unit={unitWords} />}
    </Form>
  )
}
