'use client'

import { Form, NumberField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Props = { action: FormAction; of: { equipmentId: string; careTask: string }; weeks: string }

/** The owner's own interval for one task on one device. */
export function OwnIntervalForm({ action, of, weeks }: Props) {
  return (
    <Form name="interval.set" action={action} hidden={of} values={{ weeks }} submit="Set this interval" plain>
      {({ field }) => (
        <NumberField
          {...field('weeks')}
          label="Do it every"
          unit="weeks"
          hint="Leave it empty for: only when it is needed. It holds until you change it, for everything this work sees to."
        />
      )}
    </Form>
  )
}
