'use client'

import { CheckField, Field, Fieldset, Form, NumberField, SelectField, TextAreaField } from '@/components/forms'
import { CLIENT_TAX, type ClientFields, EMPTY_CLIENT } from '@/lib/office/clients/schema'
import type { FormAction } from '@/lib/office/frame/schema'

type Props = {
  action: FormAction
  /** The client as it stands; without it a new one is added. */
  client?: { id: string; fields: ClientFields }
}

/** Who pays, and how. */
export function ClientForm({ action, client }: Props) {
  return (
    <Form
      name={client ? 'client.edit' : 'client.add'}
      action={action}
      hidden={client && { clientId: client.id }}
      values={client?.fields ?? EMPTY_CLIENT}
      submit={client ? 'Save' : 'Add this client'}
      cancelHref={client ? `/clients/${client.id}` : '/clients'}
    >
      {({ field }) => (
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
            hint="Invoices go here. Optional."
            autoComplete="off"
          />
          <Field {...field('phone')} label="Phone" type="tel" hint="Optional." autoComplete="off" />
          <Fieldset legend="On the invoice">
            <Field {...field('billingName')} label="Name on the invoice" hint="Only if it is another than above." />
            <TextAreaField {...field('billingAddress')} label="Street and number" rows={2} />
            <Field {...field('billingCity')} label="Town" />
            <Field
              {...field('billingRegion')}
              label="County, state or province"
              hint="If the post there asks for one."
            />
            <Field {...field('billingPostcode')} label="Postcode" />
            <Field {...field('billingCountry')} label="Country" hint="Two letters, such as GB." maxLength={2} />
            <Field {...field('taxNumber')} label="Tax number" />
            <SelectField
              {...field('taxCategory')}
              label="Tax on their invoices"
              hint="For a business abroad, for example. Invoices made from now on follow it."
              options={CLIENT_TAX}
            />
            <Field {...field('companyNumber')} label="Company number" />
            <Field
              {...field('buyerReference')}
              label="Their reference"
              hint="What they ask for on every invoice: a department, a name, a number."
            />
            <Field
              {...field('endpoint')}
              label="Address for e-invoices"
              hint="Scheme and number, like 0088:5790000435975. Blank for most clients."
            />
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
            <Field
              {...field('purchaseOrder')}
              label="Purchase-order number"
              hint="The standing one, if there is one."
            />
          </Fieldset>
          <TextAreaField {...field('note')} label="Note for us" hint="The client never sees this." />
        </>
      )}
    </Form>
  )
}
