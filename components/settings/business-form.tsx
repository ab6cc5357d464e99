'use client'

import { Field, Fieldset, Form, NumberField, SelectField, TextAreaField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { DEFAULT_TAX_CATEGORIES, GALLONS, VOLUME_UNITS } from '@/lib/office/settings/schema'

type Choices = readonly { value: string; label: string }[]
type Props = {
  action: FormAction
  values: Readonly<Record<string, string>>
  timeZones: Choices
  currencies: Choices
  locales: Choices
  /** The numbers to be given out next, "HL-0042". */
  nextNumbers: { invoice: string; creditNote: string }
}

/** What stands on invoices and how dates, volumes and money are written. */
export function BusinessForm({ action, values, timeZones, currencies, locales, nextNumbers }: Props) {
  return (
    <Form name="business.settings" action={action} values={values} submit="Save the settings">
      {({ field, typed }) => (
        <>
          <Fieldset legend="The business">
            <Field {...field('name')} label="Name" />
            <Field {...field('legalName')} label="Legal name" hint="As it stands on invoices." />
            <Field {...field('address')} label="Street and number" />
            <Field {...field('city')} label="Town" />
            <Field
              {...field('region')}
              label="County, state or province"
              hint="If the post in your country asks for one."
            />
            <Field {...field('postcode')} label="Postcode" />
            <Field {...field('country')} label="Country" hint="Two letters, like GB." maxLength={2} />
            <Field {...field('companyNumber')} label="Company number" hint="If you are in a company register." />
            <Field {...field('email')} label="E-mail address" type="email" />
            <Field {...field('phone')} label="Phone" type="tel" />
          </Fieldset>
          <Fieldset legend="Tax">
            <SelectField
              {...field('defaultTaxCategory')}
              label="Are you registered for tax?"
              hint="VAT, GST or sales tax. Not registered, your invoices say nothing of tax."
              options={DEFAULT_TAX_CATEGORIES}
            />
            {typed('defaultTaxCategory') === 'S' && (
              <>
                <NumberField {...field('defaultTaxRate')} label="Usual tax rate" unit="%" />
                <Field
                  {...field('defaultTaxParts')}
                  label="Made of several taxes?"
                  hint="Each with its rate: State 4 + City 4.5. The rate is then their sum. Blank for one tax."
                />
              </>
            )}
            <Field {...field('taxNumber')} label="Tax number" hint="Your VAT or tax registration number." />
          </Fieldset>
          <Fieldset legend="Where clients pay to">
            <Field
              {...field('accountName')}
              label="Account name"
              hint="If it is not the name on the invoice."
              autoComplete="off"
            />
            <Field {...field('sortCode')} label="Sort code" hint="United Kingdom: six digits." autoComplete="off" />
            <Field
              {...field('routingNumber')}
              label="Routing number"
              hint="United States: nine digits."
              autoComplete="off"
            />
            <Field {...field('accountNumber')} label="Account number" autoComplete="off" />
            <Field {...field('iban')} label="IBAN" hint="Spaces do not matter." autoComplete="off" />
            <Field {...field('bic')} label="BIC" autoComplete="off" />
          </Fieldset>
          <Fieldset legend="Invoices">
            <NumberField {...field('paymentTermsDays')} label="Payment is due after" whole unit="days" />
            <Field
              {...field('invoicePrefix')}
              label="Invoice numbers begin with"
              hint="For the next invoices; the running number follows, without gaps."
            />
            <Field
              {...field('nextInvoiceNumber')}
              label="Go on from your old books at number"
              hint={`The next invoice is ${nextNumbers.invoice}. Fill this in only to leave numbers out: once the next invoice is issued, they stay out.`}
              inputMode="numeric"
            />
            <Field {...field('creditNotePrefix')} label="Credit note numbers begin with" />
            <Field
              {...field('nextCreditNoteNumber')}
              label="Go on with credit notes at number"
              hint={`The next credit note is ${nextNumbers.creditNote}.`}
              inputMode="numeric"
            />
            <Field
              {...field('endpoint')}
              label="Your address for e-invoices"
              hint="Scheme and number, like 0088:5790000435975. Most businesses have none."
            />
            <TextAreaField
              {...field('paperFooter')}
              label="Footer"
              hint="At the foot of every page, at most three lines: where you are registered, for example."
              rows={2}
            />
            <SelectField {...field('currency')} label="Currency" options={currencies} />
          </Fieldset>
          <Fieldset legend="How things are written">
            <SelectField {...field('locale')} label="Dates and numbers" options={locales} />
            <SelectField {...field('timeZone')} label="Time zone" options={timeZones} />
            <SelectField {...field('volumeUnit')} label="Volumes" options={VOLUME_UNITS} />
            <SelectField
              {...field('gallon')}
              label='What "gallon" means in your old records'
              hint="An imperial gallon is a fifth more than a US gallon."
              options={GALLONS}
            />
          </Fieldset>
        </>
      )}
    </Form>
  )
}
