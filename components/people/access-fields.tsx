'use client'

import { CheckField, ChoiceField, Fieldset, SelectField } from '@/components/forms'
import type { FormState } from '@/lib/office/people/schema'

export type AccessChoice = { roles: readonly string[]; clientId: string | null }

type Props = {
  state: FormState
  id: (name: string) => string
  present?: AccessChoice
  clients: readonly { id: string; name: string }[]
}

/** Which side somebody stands on and what they may do: a set of roles, or one client. */
export function AccessFields({ state: { typed, fields }, id, present, clients }: Props) {
  const again = Object.keys(typed).length > 0
  const side = typed.side ?? (present ? (present.clientId ? 'client' : 'office') : undefined)
  const has = (role: string) => (again ? typed[role] === 'on' : (present?.roles.includes(role) ?? false))
  return (
    <>
      <ChoiceField
        id={id('side')}
        name="side"
        label="Where do they belong?"
        defaultValue={side}
        error={fields.side?.[0]}
        options={[
          { value: 'office', label: 'They work here', sub: 'Choose their roles below' },
          { value: 'client', label: 'They belong to a client', sub: 'They see that client and nothing else' },
        ]}
      />
      <Fieldset legend="If they work here">
        <CheckField
          id={id('owner')}
          name="owner"
          label="Owner"
          hint="Sees and changes everything, people and settings too."
          defaultChecked={has('owner')}
          error={fields.owner?.[0]}
        />
        <CheckField
          id={id('technician')}
          name="technician"
          label="Technician"
          hint="Sees the round, the tanks and what is due; writes down visits."
          defaultChecked={has('technician')}
        />
        <CheckField
          id={id('accountant')}
          name="accountant"
          label="Accountant"
          hint="Sees invoices and payments, records payments, takes the books along."
          defaultChecked={has('accountant')}
        />
      </Fieldset>
      <SelectField
        id={id('clientId')}
        name="clientId"
        label="If they belong to a client, to which one?"
        placeholder="Choose a client"
        options={clients.map(({ id, name }) => ({ value: id, label: name }))}
        defaultValue={typed.clientId ?? present?.clientId ?? ''}
        error={fields.clientId?.[0]}
      />
    </>
  )
}
