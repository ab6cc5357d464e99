'use client'

import { CheckField, ChoiceField, type FieldOf, Fieldset, SelectField } from '@/components/forms'

export type AccessChoice = { roles: readonly string[]; clientId: string | null }

/** What stands in the fields for somebody who has such an access; nothing is chosen for somebody new. */
export function accessValues(present: AccessChoice | undefined) {
  const has = (role: string) => present?.roles.includes(role) ?? false
  return {
    side: present && (present.clientId ? 'client' : 'office'),
    ...{ owner: has('owner'), technician: has('technician'), accountant: has('accountant') },
    clientId: present?.clientId,
  }
}

type Props = {
  field: FieldOf<'side' | 'owner' | 'technician' | 'accountant' | 'clientId'>
  clients: readonly { id: string; name: string }[]
}

/** Which side somebody stands on and what they may do: a set of roles, or one client. */
export function AccessFields({ field, clients }: Props) {
  return (
    <>
      <ChoiceField
        {...field('side')}
        label="Where do they belong?"
        options={[
          { value: 'office', label: 'They work here', sub: 'Choose their roles below' },
          { value: 'client', label: 'They belong to a client', sub: 'They see that client and nothing else' },
        ]}
      />
      <Fieldset legend="If they work here">
        <CheckField {...field('owner')} label="Owner" hint="Sees and changes everything, people and settings too." />
        <CheckField
          {...field('technician')}
          label="Technician"
          hint="Sees the round, the tanks and what is due; writes down visits."
        />
        <CheckField
          {...field('accountant')}
          label="Accountant"
          hint="Sees invoices and payments, records payments, takes the books along."
        />
      </Fieldset>
      <SelectField
        {...field('clientId')}
        label="If they belong to a client, to which one?"
        placeholder="Choose a client"
        options={clients.map(({ id, name }) => ({ value: id, label: name }))}
      />
    </>
  )
}
