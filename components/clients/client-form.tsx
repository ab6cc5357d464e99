'use client'

import { CheckField, Field, Fieldset, NumberField, TextAreaField } from '@/components/forms'
import { addClientSchema, type ClientFields, EMPTY_CLIENT, editClientSchema } from '@/lib/office/clients/schema'
import { RegisterForm } from './register-form'
import { type FieldOf, type Save, useRegisterForm } from './use-register-form'

type Props = {
  businessId: string
  save: Save<{ clientId: string }>
  /** The client as it stands; without it a new one is added. */
  client?: { id: string; fields: ClientFields }
}

/** Who pays, and how. */
export function ClientForm({ businessId, save, client }: Props) {
  return client ? (
    <EditClient businessId={businessId} save={save} client={client} />
  ) : (
    <AddClient businessId={businessId} save={save} />
  )
}

function AddClient({ businessId, save }: Omit<Props, 'client'>) {
  const form = useRegisterForm({
    schema: addClientSchema,
    businessId,
    fields: EMPTY_CLIENT,
    save,
    next: ({ clientId }) => `/clients/${clientId}`,
  })
  return (
    <RegisterForm {...form} words="Add this client" cancelHref="/clients">
      <ClientInputs field={form.field} />
    </RegisterForm>
  )
}

function EditClient({ businessId, save, client }: Props & { client: NonNullable<Props['client']> }) {
  const href = `/clients/${client.id}`
  const form = useRegisterForm({
    schema: editClientSchema,
    businessId,
    fields: { ...client.fields, clientId: client.id },
    save,
    next: () => href,
  })
  return (
    <RegisterForm {...form} words="Save" cancelHref={href}>
      <ClientInputs field={form.field} />
    </RegisterForm>
  )
}

function ClientInputs({ field }: { field: FieldOf<keyof ClientFields> }) {
  return (
    <>
      <Field
        {...field('name')}
        label="Name"
        hint="A company, a household, a school: whoever pays."
        autoComplete="off"
      />
      <Field
        {...field('email')}
        label="E-mail address"
        type="email"
        hint="Invoices go here. May stay empty."
        autoComplete="off"
      />
      <Field {...field('phone')} label="Phone" type="tel" hint="May stay empty." autoComplete="off" />
      <Fieldset legend="On the invoice">
        <Field {...field('billingName')} label="Name on the invoice" hint="Only if it is another than above." />
        <TextAreaField {...field('billingAddress')} label="Street and number" rows={2} />
        <Field {...field('billingPostcode')} label="Postcode" />
        <Field {...field('billingCity')} label="Town" />
        <Field {...field('billingCountry')} label="Country" hint="Two letters, such as GB." maxLength={2} />
        <Field {...field('taxNumber')} label="Tax number" />
        <NumberField
          {...field('paymentTermsDays')}
          whole
          label="Days to pay"
          hint="Blank: your usual terms."
          unit="days"
        />
        <CheckField
          {...field('purchaseOrderNeeded')}
          label="Wants a purchase-order number"
          hint="An invoice without one is pointed out before it is issued."
        />
        <Field {...field('purchaseOrder')} label="Purchase-order number" hint="The standing one, if there is one." />
      </Fieldset>
      <TextAreaField {...field('note')} label="Note for us" hint="The client never sees this." />
    </>
  )
}
