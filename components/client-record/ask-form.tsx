'use client'

import { Form, TextAreaField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { PhoneLink } from '../paper'

type Props = {
  action: FormAction
  tankId: string
  /** The business's own number; blank where it has given none. */
  phone: string
}

/** Asks for a visit in the client's own words, which stay in the field until they have arrived. */
export function AskForm({ action, tankId, phone }: Props) {
  return (
    <>
      <p>
        <strong>If animals are in danger or water is on the floor, telephone</strong>
        {phone && (
          <>
            : <PhoneLink phone={phone} />
          </>
        )}
        . Stay away from wet sockets and cables; where people are in danger call the emergency services first.
      </p>
      <Form name="visit.ask" action={action} hidden={{ tankId }} submit="Ask for a visit">
        {({ field }) => <TextAreaField {...field('words')} label="What have you noticed?" maxLength={1000} />}
      </Form>
    </>
  )
}
