'use client'

import { Field, Form, NumberField, TextAreaField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

export type SupplierValues = {
  id: string
  name: string
  email: string
  phone: string
  leadTimeDays: string
  note: string
}

type Props = { action: FormAction; supplier?: SupplierValues }

/** Whoever parts are ordered from, new or changed. */
export function SupplierForm({ action, supplier }: Props) {
  return (
    <Form
      name={supplier ? 'supplier.edit' : 'supplier.add'}
      action={action}
      hidden={supplier && { supplierId: supplier.id }}
      values={supplier ?? { leadTimeDays: '7' }}
      submit={supplier ? 'Save' : 'Add this supplier'}
      plain
    >
      {({ field }) => (
        <div className="parts-fields">
          <Field {...field('name')} label="Name" autoComplete="off" />
          <NumberField {...field('leadTimeDays')} whole label="Days from ordering to the shelf" unit="days" />
          <Field {...field('email')} label="E-mail address" type="email" autoComplete="off" />
          <Field {...field('phone')} label="Phone" type="tel" autoComplete="off" />
          <div className="wide">
            <TextAreaField {...field('note')} label="Note" rows={2} hint="Customer number, smallest order." />
          </div>
        </div>
      )}
    </Form>
  )
}
