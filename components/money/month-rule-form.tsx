'use client'

import { Form, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Props = { action: FormAction; rule: string }

/** What a month costs that an agreement covers in part, or whose fee changes within it. */
export function MonthRuleForm({ action, rule }: Props) {
  return (
    <Form name="money.month-rule" action={action} values={{ rule }} submit="Save" plain>
      {({ field }) => (
        <SelectField
          {...field('rule')}
          label="A month in part"
          hint="When an agreement starts, ends or changes its fee within a month. Months already billed stay as they are."
          options={[
            { value: 'full', label: 'Bill the whole fee: the one that held on most days' },
            { value: 'pro_rata', label: 'Bill by days: each day its share of the fee' },
          ]}
        />
      )}
    </Form>
  )
}
