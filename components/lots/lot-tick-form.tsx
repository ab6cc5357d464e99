'use client'

import { CheckField, Field, Fieldset } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people'
import { TANK_TICK } from '@/lib/office/lots/schema'

type Props = {
  action: PostAction
  ids: { commandId: string; businessId: string; lotId: string }
  today: string
  tanks: readonly { id: string; name: string; clientName: string; isOnLot: boolean }[]
}

/** One lot at several tanks on one day. */
export function LotTickForm({ action, ids, today, tanks }: Props) {
  return (
    <PostForm action={action} hidden={ids} submit="These tanks had it on that day">
      {({ typed, fields }, id) => (
        <>
          <Field
            id={id('usedOn')}
            name="usedOn"
            type="date"
            label="On which day?"
            max={today}
            defaultValue={typed.usedOn ?? today}
            error={fields.usedOn?.[0]}
          />
          <Fieldset legend="Tanks">
            {fields.tankIds?.[0] && <p className="call">{fields.tankIds[0]}</p>}
            <div className="lot-ticks">
              {tanks.map((tank) => (
                <CheckField
                  key={tank.id}
                  id={id(`${TANK_TICK}${tank.id}`)}
                  name={`${TANK_TICK}${tank.id}`}
                  label={`${tank.clientName}: ${tank.name}${tank.isOnLot ? ' (on it)' : ''}`}
                  defaultChecked={typed[`${TANK_TICK}${tank.id}`] === 'on'}
                />
              ))}
            </div>
          </Fieldset>
        </>
      )}
    </PostForm>
  )
}
