'use client'

import { Form, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Props = { action: FormAction; taxBasis: string; fileDecimals: string }

/** When tax is reported, and how files write decimals. */
export function BookChoicesForm({ action, taxBasis, fileDecimals }: Props) {
  return (
    <Form name="books.choose" action={action} values={{ taxBasis, fileDecimals }} submit="Save">
      {({ field }) => (
        <>
          <SelectField
            {...field('taxBasis')}
            label="Report tax by"
            options={[
              { value: 'issue', label: 'the date of the invoice' },
              { value: 'service', label: 'the last day of the service' },
              { value: 'cash', label: 'payments received (cash basis)' },
            ]}
          />
          <SelectField
            {...field('fileDecimals')}
            label="Files write"
            options={[
              { value: 'point', label: '1297.36, separated by commas' },
              { value: 'comma', label: '1297,36, separated by semicolons' },
            ]}
          />
        </>
      )}
    </Form>
  )
}
