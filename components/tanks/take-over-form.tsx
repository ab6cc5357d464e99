'use client'

import { useForm } from 'react-hook-form'
import { Fieldset, Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { EMPTY_TANK, type TankFields } from '@/lib/office/tanks/schema'
import { EquipmentRows, type TakeOverFields } from './equipment-rows'
import { TankInputs } from './tank-inputs'

type Choice = { value: string; label: string }
export type TakeOverFormProps = {
  action: FormAction
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
  const { action, sites, kinds, classes, volumeUnit, unitWords, siteId, today } = props
  const rows = useForm<TakeOverFields>({
    // The kind is left open: an answer nobody gave must not be in the record.
    defaultValues: { ...EMPTY_TANK, name: '', volume: '', volumeUnit, siteId, takenOverOn: today, equipment: [] },
  })
  return (
    <Form name="tank.add" about={siteId} action={action} rows={rows} submit="Take on this tank" cancelHref="/tanks">
      {({ field }) => (
        <>
          <TankInputs field={field} sites={sites} kinds={kinds} unit={unitWords} />
          <Fieldset legend="Equipment">
            <EquipmentRows form={rows} field={field} classes={classes} />
          </Fieldset>
        </>
      )}
    </Form>
  )
}
