'use client'

import { Field, Fieldset, NumberField, SelectField } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people'
import { DEFAULT_TAX_CATEGORIES, GALLONS, VOLUME_UNITS } from '@/lib/office/settings/schema'

type Choices = readonly { value: string; label: string }[]
type Props = {
  action: PostAction
  hidden: Readonly<Record<string, string>>
  values: Readonly<Record<string, string>>
  timeZones: Choices
  currencies: Choices
  locales: Choices
}

/** What stands on invoices and how dates, volumes and money are written. */
export function BusinessForm({ action, hidden, values, timeZones, currencies, locales }: Props) {
  return (
    <PostForm action={action} hidden={hidden} submit="Save the settings">
      {({ typed, fields }, id) => {
        const field = (name: string, label: string) => ({
          id: id(name),
          name,
          label,
          defaultValue: typed[name] ?? values[name] ?? '',
          error: fields[name]?.[0],
        })
        return (
          <>
            <Fieldset legend="The business">
              <Field {...field('name', 'Name')} />
              <Field {...field('legalName', 'Legal name')} hint="As it stands on invoices." />
              <Field {...field('address', 'Street and number')} />
              <Field {...field('postcode', 'Postcode')} />
              <Field {...field('city', 'Town')} />
              <Field {...field('country', 'Country')} hint="Two letters, like GB." maxLength={2} />
              <Field {...field('email', 'E-mail address')} type="email" />
              <Field {...field('phone', 'Phone')} type="tel" />
            </Fieldset>
            <Fieldset legend="Invoices">
              <Field {...field('taxNumber', 'Tax number')} hint="Your VAT or tax registration number." />
              <Field {...field('iban', 'IBAN')} hint="Where clients pay to. Spaces do not matter." autoComplete="off" />
              <Field {...field('bic', 'BIC')} autoComplete="off" />
              <NumberField {...field('paymentTermsDays', 'Payment is due after')} whole unit="days" />
              <SelectField {...field('defaultTaxCategory', 'Usual kind of tax')} options={DEFAULT_TAX_CATEGORIES} />
              <NumberField {...field('defaultTaxRate', 'Usual tax rate')} unit="%" />
              <Field
                {...field('invoicePrefix', 'Invoice numbers begin with')}
                hint="For the next invoices; the running number follows, without gaps."
              />
              <Field {...field('creditNotePrefix', 'Credit note numbers begin with')} />
              <SelectField {...field('currency', 'Currency')} options={currencies} />
            </Fieldset>
            <Fieldset legend="How things are written">
              <SelectField {...field('locale', 'Dates and numbers')} options={locales} />
              <SelectField {...field('timeZone', 'Time zone')} options={timeZones} />
              <SelectField {...field('volumeUnit', 'Volumes')} options={VOLUME_UNITS} />
              <SelectField
                {...field('gallon', 'What "gallon" means in your old records')}
                hint="An imperial gallon is a fifth more than a US gallon."
                options={GALLONS}
              />
            </Fieldset>
          </>
        )
      }}
    </PostForm>
  )
}
