'use client'

import { Field, NumberField, TextAreaField } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people'
import { fieldsOf, type Hidden } from './fields'

export type SupplierValues = { name: string; email: string; phone: string; leadTimeDays: string; note: string }
const NOBODY: SupplierValues = { name: '', email: '', phone: '', leadTimeDays: '7', note: '' }

type Props = { action: PostAction; hidden: Hidden; supplier?: SupplierValues }

/** Whoever parts are ordered from, new or changed. */
export function SupplierForm({ action, hidden, supplier }: Props) {
  return (
    <PostForm action={action} hidden={hidden} submit={supplier ? 'Save' : 'Add this supplier'} plain>
      {(state, id) => {
        const field = fieldsOf(state, id, supplier ?? NOBODY)
        return (
          <div className="parts-fields">
            <Field {...field('name')} label="Name" autoComplete="off" />
            <NumberField {...field('leadTimeDays')} whole label="Days from ordering to the shelf" unit="days" />
            <Field {...field('email')} label="E-mail address" type="email" autoComplete="off" />
            <Field {...field('phone')} label="Phone" type="tel" autoComplete="off" />
            <div className="wide">
              <TextAreaField {...field('note')} label="Note" rows={2} hint="Customer number, smallest order." />
            </div>
          </div>
        )
      }}
    </PostForm>
  )
}
