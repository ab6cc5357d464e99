'use client'

import { CheckField, Field, Form, MoneyField, NumberField, SelectField, TextAreaField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import type { AgreementFields } from '@/lib/office/tanks/schema'

type Choice = { value: string; label: string }
type Props = {
  action: FormAction
  fields: AgreementFields
  technicians: readonly Choice[]
  /** An agreement is running: this one takes its place. */
  changes: boolean
}

/** How often we come, what is included, what it costs. */
export function AgreementForm({ action, fields, technicians, changes }: Props) {
  const { tankId, currency, ...values } = fields
  return (
    <Form
      name={changes ? 'agreement.change' : 'agreement.add'}
      action={action}
      hidden={{ tankId, currency }}
      values={values}
      submit={changes ? 'Change the agreement' : 'Make the agreement'}
      cancelHref={`/tanks/${tankId}`}
    >
      {({ field }) => (
        <>
          <Field
            {...field('startsOn')}
            label={changes ? 'From which day on?' : 'Starts on'}
            type="date"
            hint={changes ? 'The running agreement ends the day before.' : undefined}
          />
          <NumberField {...field('every')} whole label="A visit every" hint="2 weeks, or 10 days." />
          <SelectField
            {...field('everyUnit')}
            label="Counted in"
            options={[
              { value: 'weeks', label: 'weeks' },
              { value: 'days', label: 'days' },
            ]}
          />
          <Field
            {...field('anchorOn')}
            label="Counted from"
            type="date"
            hint="A day on which a visit is right; the others follow from it."
          />
          <NumberField {...field('visitMinutes')} whole label="Planned for a visit" unit="minutes" />
          <MoneyField {...field('monthlyFee')} label="Fee a month, without tax" currency={currency} />
          <SelectField
            {...field('preferredPersonId')}
            label="Who should go?"
            placeholder="Whoever is near"
            options={technicians}
          />
          <Field
            {...field('purchaseOrder')}
            label="Purchase-order number"
            hint="Only if this tank has its own. Its visits and parts are billed on it too."
          />
          <CheckField
            {...field('billNoAccess')}
            label="Bill a visit when nobody lets us in"
            hint="Call-outs and visits outside the fee, at the price of the first hour."
          />
          <TextAreaField {...field('includes')} label="What is included?" hint="As the client reads it." />
        </>
      )}
    </Form>
  )
}

type EndProps = { action: FormAction; tankId: string; agreementId: string; today: string }

/** The agreement ends and nothing takes its place. */
export function EndAgreementForm({ action, tankId, agreementId, today }: EndProps) {
  return (
    <Form
      name="agreement.end"
      action={action}
      hidden={{ agreementId }}
      values={{ endsOn: today }}
      submit="End the agreement"
      cancelHref={`/tanks/${tankId}`}
    >
      {({ field }) => <Field {...field('endsOn')} label="Last day" type="date" />}
    </Form>
  )
}
