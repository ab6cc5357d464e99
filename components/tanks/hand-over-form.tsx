'use client'

import { useWatch } from 'react-hook-form'
import { type Save, useRegisterForm } from '@/components/clients'
import { RegisterForm } from '@/components/clients/register-form'
import { Field, SelectField } from '@/components/forms'
import { handOverTankSchema } from '@/lib/office/tanks/schema'

type Choice = { value: string; label: string }
type Props = {
  businessId: string
  tankId: string
  save: Save<{ tankId: string }>
  clients: readonly Choice[]
  sites: readonly (Choice & { clientId: string })[]
  today: string
}

/** A tank goes to another client. What happened until then stays with the one it happened for. */
export function HandOverForm({ businessId, tankId, save, clients, sites, today }: Props) {
  const { form, field, ...frame } = useRegisterForm({
    schema: handOverTankSchema,
    businessId,
    fields: { tankId, clientId: '', siteId: '', on: today },
    save,
    next: () => `/tanks/${tankId}`,
  })
  const clientId = useWatch({ control: form.control, name: 'clientId' })
  return (
    <RegisterForm {...frame} words="Hand it over" cancelHref={`/tanks/${tankId}`}>
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
        options={sites.filter((site) => site.clientId === clientId)}
      />
      <Field {...field('on')} label="On which day?" type="date" max={today} />
      <p className="soft">
        The new client sees what happens from this day on and nothing from before. The old agreement ends the day
        before.
      </p>
    </RegisterForm>
  )
}
