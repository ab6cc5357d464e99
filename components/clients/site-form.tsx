'use client'

import { Field, Fieldset, SelectField, TextAreaField } from '@/components/forms'
import { addSiteSchema, EMPTY_SITE, editSiteSchema, type SiteFields } from '@/lib/office/clients/schema'
import { RegisterForm } from './register-form'
import { ContactRows, WindowRows } from './site-rows'
import { type FieldOf, type Save, useRegisterForm } from './use-register-form'

type Choice = { value: string; label: string }
type Props = { businessId: string; save: Save<{ siteId: string }>; clients: readonly Choice[] }

/** A new site; `clientId` where the way here already says whose it is. */
export function AddSiteForm({ businessId, save, clients, clientId }: Props & { clientId: string }) {
  const { form, field, ...frame } = useRegisterForm({
    schema: addSiteSchema,
    businessId,
    fields: { ...EMPTY_SITE, clientId },
    save,
    next: ({ siteId }) => `/clients/sites/${siteId}`,
  })
  return (
    <RegisterForm {...frame} words="Add this site" cancelHref={clientId === '' ? '/clients' : `/clients/${clientId}`}>
      <SiteInputs field={field} clients={clients} />
      <Fieldset legend="Contacts there">
        <ContactRows control={form.control} field={field} />
      </Fieldset>
      <Fieldset legend="When we may come in">
        <WindowRows control={form.control} field={field} />
      </Fieldset>
    </RegisterForm>
  )
}

/** A site as it stands. */
export function EditSiteForm({
  businessId,
  save,
  clients,
  site,
}: Props & { site: { id: string; fields: SiteFields } }) {
  const href = `/clients/sites/${site.id}`
  const { form, field, ...frame } = useRegisterForm({
    schema: editSiteSchema,
    businessId,
    fields: { ...site.fields, siteId: site.id },
    save,
    next: () => href,
  })
  return (
    <RegisterForm {...frame} words="Save" cancelHref={href}>
      <SiteInputs field={field} clients={clients} />
      <Fieldset legend="Contacts there">
        <ContactRows control={form.control} field={field} />
      </Fieldset>
      <Fieldset legend="When we may come in">
        <WindowRows control={form.control} field={field} />
      </Fieldset>
    </RegisterForm>
  )
}

type SingleField = Exclude<keyof SiteFields, 'accessWindows' | 'contacts'>

function SiteInputs({ field, clients }: { field: FieldOf<SingleField>; clients: readonly Choice[] }) {
  return (
    <>
      <SelectField {...field('clientId')} label="Client" placeholder="Choose one" options={clients} />
      <Field
        {...field('name')}
        label="What is the site called?"
        hint="As one says it on the road: Port Ellery School."
      />
      <SelectField
        {...field('payerClientId')}
        label="Who pays for it?"
        hint="Only if it is not the client."
        placeholder="The client"
        options={clients}
      />
      <Field {...field('purchaseOrder')} label="Purchase-order number for this site" hint="May stay empty." />
      <Fieldset legend="Where it is">
        <TextAreaField {...field('address')} label="Street and number" rows={2} />
        <Field {...field('postcode')} label="Postcode" />
        <Field {...field('city')} label="Town" />
        <Field {...field('country')} label="Country" hint="Two letters, such as GB." maxLength={2} />
        <Field
          {...field('latitude')}
          label="Latitude"
          hint="Degrees north, such as 50.1234. The plan reckons the way with it."
          inputMode="decimal"
        />
        <Field
          {...field('longitude')}
          label="Longitude"
          hint="Degrees east; west of Greenwich is minus."
          inputMode="text"
        />
      </Fieldset>
      <TextAreaField
        {...field('accessNote')}
        label="How to get in"
        hint="Key, code, whom to ask, where to park. The client does not see it."
      />
    </>
  )
}
