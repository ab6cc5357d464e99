'use client'

import { SelectField } from '@/components/forms'
import { mergeSchema } from '@/lib/office/clients/schema'
import { RegisterForm } from './register-form'
import { type Save, useRegisterForm } from './use-register-form'

type Choice = { value: string; label: string }
type Props = {
  businessId: string
  save: Save<{ survivorId: string }>
  choices: readonly Choice[]
  /** "clients", "sites", "tanks". */
  things: 'clients' | 'sites' | 'tanks'
  survivorId: string
  duplicateId: string
}

const PAGE_OF = { clients: '/clients/', sites: '/clients/sites/', tanks: '/tanks/' } as const

/** Two entries become one: which stays, and which goes into it. */
export function MergeForm({ businessId, save, choices, things, survivorId, duplicateId }: Props) {
  const {
    field,
    form: _,
    ...frame
  } = useRegisterForm({
    schema: mergeSchema,
    businessId,
    fields: { survivorId, duplicateId },
    save,
    next: (value) => `${PAGE_OF[things]}${value.survivorId}`,
  })
  return (
    <RegisterForm {...frame} words="Merge the two" cancelHref={things === 'tanks' ? '/tanks' : '/clients'}>
      <SelectField {...field('survivorId')} label="Keep this entry" placeholder="Choose one" options={choices} />
      <SelectField
        {...field('duplicateId')}
        label="This one is the same and goes into it"
        placeholder="Choose one"
        options={choices}
      />
      <p className="soft">
        What lies ahead goes to the entry you keep. What happened stays as it was written and is found there too. This
        cannot be undone.
      </p>
    </RegisterForm>
  )
}
