'use client'

import { ChoiceField, Field, Form, NumberField, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { EMPTY_RESERVOIR, type ReservoirFields } from '@/lib/office/refills/schema'

type Choice = { value: string; label: string }
type Kind = Choice & { units: readonly string[]; how: string }

const WHO = [
  { value: 'technician', label: 'We do' },
  { value: 'site-staff', label: 'The people on site' },
]

type Props = {
  action: FormAction
  tankId: string
  kinds: readonly Kind[]
  devices: readonly Choice[]
  /** The container as it stands; without it a new one is set up. */
  reservoir?: { id: string; fields: ReservoirFields }
}

/** A container at a tank. The unit can be chosen once the kind is. */
export function ReservoirForm({ action, tankId, kinds, devices, reservoir }: Props) {
  return (
    <Form
      name={reservoir ? 'reservoir.edit' : 'reservoir.add'}
      action={action}
      hidden={reservoir ? { reservoirId: reservoir.id } : { tankId }}
      values={reservoir?.fields ?? EMPTY_RESERVOIR}
      submit={reservoir ? 'Save correction' : 'Set it up'}
      cancelHref={`/tanks/${tankId}`}
    >
      {({ field, typed }) => {
        const kind = kinds.find(({ value }) => value === typed('kind'))
        const unit = typed('unit')
        const isGas = kind?.value === 'gas'
        return (
          <>
            <SelectField {...field('kind')} label="What is in it?" placeholder="Choose one" options={kinds} />
            <Field
              {...field('label')}
              label="What do you call it?"
              hint="As it is written on it: Alkalinity, left container."
            />
            <SelectField
              {...field('unit')}
              label="Counted in"
              placeholder={kind ? 'Choose one' : 'Choose what is in it first'}
              options={(kind?.units ?? []).map((one) => ({ value: one, label: one }))}
            />
            <NumberField
              {...field('capacity')}
              label={isGas ? 'Weight of the full cylinder' : 'How much it holds full'}
              hint={kind?.how}
              unit={unit}
            />
            <NumberField
              {...field('emptyAt')}
              label={isGas ? 'Weight of the empty cylinder' : 'Empty means'}
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
      }}
    </Form>
  )
}
