'use client'

import { type Save, useRegisterForm } from '@/components/clients'
import { RegisterForm } from '@/components/clients/register-form'
import { Field, MoneyField, NumberField, SelectField, TextAreaField } from '@/components/forms'
import { type AgreementFields, agreementSchema, endAgreementSchema } from '@/lib/office/tanks/schema'

type Choice = { value: string; label: string }
type Props = {
  businessId: string
  save: Save<{ tankId: string }>
  fields: AgreementFields
  technicians: readonly Choice[]
  /** An agreement is running: this one takes its place. */
  changes: boolean
}

const toTank = ({ tankId }: { tankId: string }) => `/tanks/${tankId}`

/** How often we come, what is included, what it costs. */
export function AgreementForm({ businessId, save, fields, technicians, changes }: Props) {
  const {
    field,
    form: _,
    ...frame
  } = useRegisterForm({
    schema: agreementSchema,
    businessId,
    fields,
    save,
    next: toTank,
  })
  const words = changes ? 'Change the agreement' : 'Make the agreement'
  return (
    <RegisterForm {...frame} words={words} cancelHref={`/tanks/${fields.tankId}`}>
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
      <MoneyField {...field('monthlyFee')} label="Fee a month, without tax" currency={fields.currency} />
      <SelectField
        {...field('preferredPersonId')}
        label="Who should go?"
        placeholder="Whoever is near"
        options={technicians}
      />
      <Field {...field('purchaseOrder')} label="Purchase-order number" hint="Only if this tank has its own." />
      <TextAreaField {...field('includes')} label="What is included?" hint="As the client reads it." />
    </RegisterForm>
  )
}

type EndProps = {
  businessId: string
  tankId: string
  save: Save<{ tankId: string }>
  agreementId: string
  today: string
}

/** The agreement ends and nothing takes its place. */
export function EndAgreementForm({ businessId, tankId, save, agreementId, today }: EndProps) {
  const {
    field,
    form: _,
    ...frame
  } = useRegisterForm({
    schema: endAgreementSchema,
    businessId,
    fields: { agreementId, endsOn: today },
    save,
    next: toTank,
  })
  return (
    <RegisterForm {...frame} words="End the agreement" cancelHref={`/tanks/${tankId}`}>
      <Field {...field('endsOn')} label="Last day" type="date" />
    </RegisterForm>
  )
}
