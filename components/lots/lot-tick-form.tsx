'use client'

import { CheckField, Field, Fieldset, Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { TANK_TICK } from '@/lib/office/lots/schema'

type Props = {
  action: FormAction
  lotId: string
  today: string
  tanks: readonly { id: string; name: string; clientName: string; isOnLot: boolean }[]
}

/** One lot at several tanks on one day. */
export function LotTickForm({ action, lotId, today, tanks }: Props) {
  return (
    <Form
      name="lot.tick"
      action={action}
      hidden={{ lotId }}
      values={{ usedOn: today }}
      submit="These tanks had it on that day"
    >
      {({ field }) => (
        <>
          <Field {...field('usedOn')} type="date" label="On which day?" max={today} />
          <Fieldset legend="Tanks">
            <div className="lot-ticks">
              {tanks.map((tank) => (
                <CheckField
                  key={tank.id}
                  name={`${TANK_TICK}${tank.id}`}
                  label={`${tank.clientName}: ${tank.name}${tank.isOnLot ? ' (on it)' : ''}`}
                />
              ))}
            </div>
          </Fieldset>
        </>
      )}
    </Form>
  )
}
