'use client'

import { Form, NumberField, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import type { Choice } from './fields'

type Props = { action: FormAction; partId: string; tasks: readonly Choice[]; devices: readonly Choice[] }

/** Which work uses the part, on all devices of a kind or on one of them. */
export function FitForm({ action, partId, tasks, devices }: Props) {
  return (
    <Form name="fit.add" action={action} hidden={{ partId }} values={{ quantity: '1' }} submit="Add this work" plain>
      {({ field }) => (
        <div className="parts-fields">
          <SelectField {...field('careTask')} label="Work that uses it" placeholder="Choose the work" options={tasks} />
          <NumberField {...field('quantity')} label="How many each time" />
          <div className="wide">
            <SelectField
              {...field('equipmentId')}
              label="On which device?"
              hint="What is said of one device goes before what is said of all."
              placeholder="On every device of that kind"
              options={devices}
            />
          </div>
        </div>
      )}
    </Form>
  )
}
