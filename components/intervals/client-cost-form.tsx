'use client'

import { Form, MoneyField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Props = {
  action: FormAction
  clientId: string
  currency: string
  values: Readonly<Record<'travel' | 'goodwill' | 'animalsPerDay', string>>
}

/** What a need costs more at this client than elsewhere. */
export function ClientCostForm({ action, clientId, currency, values }: Props) {
  return (
    <Form
      name="client.costs"
      action={action}
      hidden={{ clientId }}
      values={values}
      submit="State what it costs here"
      plain
    >
      {({ field }) => (
        <>
          <MoneyField
            {...field('travel')}
            currency={currency}
            label="Travel, each call-out"
            hint="Beyond a usual call-out: a long way, a ferry, parking."
          />
          <MoneyField
            {...field('goodwill')}
            currency={currency}
            label="Goodwill, each time they find it first"
            hint="What their trust is worth to you."
          />
          <MoneyField
            {...field('animalsPerDay')}
            currency={currency}
            label="Animals at risk, each day a dangerous fault goes unseen"
            hint="A tank of rare fish suffers more from a day than another."
          />
        </>
      )}
    </Form>
  )
}
