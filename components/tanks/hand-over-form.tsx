'use client'

import { Field, Form, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Choice = { value: string; label: string }
type Props = {
  action: FormAction
  tankId: string
  clients: readonly Choice[]
  sites: readonly (Choice & { clientId: string })[]
  today: string
}

/** A tank goes to another client. What happened until then stays with the one it happened for. */
export function HandOverForm({ action, tankId, clients, sites, today }: Props) {
  return (
    <Form
      name="tank.hand-over"
      action={action}
      hidden={{ tankId }}
      values={{ on: today }}
      submit="Hand it over"
      cancelHref={`/tanks/${tankId}`}
    >
      {({ field, typed }) => (
        <>
          <SelectField
            {...field('clientId')}
            label="Who has it from now on?"
            placeholder="Choose a client"
            options={clients}
          />
          <SelectField
            {...field('siteId')}
            label="Where does it go?"
            placeholder="It stays where it is"
            options={sites.filter((site) => site.clientId === typed('clientId'))}
          />
          <Field {...field('on')} label="On which day?" type="date" max={today} />
          <p className="soft">
            The new client sees what happens from this day on and nothing from before. The old agreement ends the day
            before.
          </p>
        </>
      )}
    </Form>
  )
}
