'use client'

import { Form, MoneyField, NumberField, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Props = {
  action: FormAction
  currency: string
  classes: readonly { value: string; label: string }[]
  values: Readonly<Record<string, string>>
}

/** States the costs of one class of equipment, or of everything that has none of its own. */
export function CostsForm({ action, currency, classes, values }: Props) {
  return (
    <Form
      name="costs.state"
      about={values.equipmentClass ?? ''}
      action={action}
      values={values}
      submit="State these costs"
    >
      {({ field }) => (
        <>
          <SelectField {...field('equipmentClass')} label="For" options={classes} />
          <MoneyField
            {...field('planned')}
            label="Done while we are there anyway"
            currency={currency}
            hint="For all equipment: without parts; what they cost is added from Parts. For one kind of equipment: with them."
          />
          <MoneyField
            {...field('found')}
            label="Found failed at a visit"
            currency={currency}
            hint="The same work, plus what the failure cost by then."
          />
          <MoneyField
            {...field('callOut')}
            label="The client calls, and we make the trip"
            currency={currency}
            hint="The whole extra visit: the way, the time, the parts in a hurry."
          />
          <MoneyField
            {...field('hiddenPerDay')}
            label="Each day it stays failed unnoticed"
            currency={currency}
            hint="What a day of it does to animals and equipment. 0 where nothing suffers."
          />
          <NumberField
            {...field('shareReportedPercent')}
            label="Of the failures, the client notices and calls"
            unit="%"
            hint="The others wait until our next visit."
          />
        </>
      )}
    </Form>
  )
}
