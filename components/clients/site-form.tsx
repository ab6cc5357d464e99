'use client'

import { useForm } from 'react-hook-form'
import { Field, type FieldOf, Fieldset, Form, SelectField, TextAreaField } from '@/components/forms'
import { EMPTY_SITE, type SiteFields } from '@/lib/office/clients/schema'
import type { FormAction } from '@/lib/office/frame/schema'
import { ContactRows, WindowRows } from './site-rows'

type Choice = { value: string; label: string }
type Props = {
  action: FormAction
  clients: readonly Choice[]
  /** Where the way here already says whose it is. */
  clientId?: string
  /** The site as it stands; without it a new one is added. */
  site?: { id: string; fields: SiteFields }
}

/** A site: where it is, how one gets in, whom to ask for. The device keeps no note of how one gets in. */
export function SiteForm({ action, clients, clientId = '', site }: Props) {
  const rows = useForm<SiteFields>({ defaultValues: site?.fields ?? { ...EMPTY_SITE, clientId } })
  return (
    <Form
      name={site ? 'site.edit' : 'site.add'}
      action={action}
      about={site?.id ?? clientId}
      hidden={site && { siteId: site.id }}
      rows={rows}
      unkept={['accessNote']}
      submit={site ? 'Save' : 'Add this site'}
      cancelHref={site ? `/clients/sites/${site.id}` : clientId === '' ? '/clients' : `/clients/${clientId}`}
    >
      {({ field }) => (
        <>
          <SiteInputs field={field} clients={clients} />
          <Fieldset legend="Contacts there">
            <ContactRows control={rows.control} field={field} />
          </Fieldset>
          <Fieldset legend="When we may come in">
            <WindowRows control={rows.control} field={field} />
          </Fieldset>
        </>
      )}
    </Form>
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
      <Field
        {...field('payerSince')}
        label="A new payer pays from"
        type="date"
        hint="Only if the payer changes. Leave blank for today; a month in between is shared by days."
      />
      <Field {...field('purchaseOrder')} label="Purchase-order number for this site" hint="Optional." />
      <Fieldset legend="Where it is">
        <TextAreaField {...field('address')} label="Street and number" rows={2} />
        <Field {...field('city')} label="Town" />
        <Field {...field('region')} label="County, state or province" hint="If the post there asks for one." />
        <Field {...field('postcode')} label="Postcode" />
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
        data-unkept
        label="How to get in"
        hint="Key, code, whom to ask, where to park. The client does not see it."
      />
    </>
  )
}
