'use client'

import { CheckField, type FormView } from '@/components/forms'

/** What a payment is asked about before it is taken. A yes given stays while something else is asked. */
export function PaymentQuestions({ field, typed, refusal }: FormView) {
  const isAsked = (reason: string, name: string) => refusal === reason || typed(name) === 'on'
  return (
    <>
      {isAsked('twice', 'secondAccepted') && (
        <CheckField {...field('secondAccepted')} label="Yes, this is a second payment" />
      )}
      {isAsked('long-ago', 'longAgoAccepted') && (
        <CheckField {...field('longAgoAccepted')} label="Yes, it came in on that day" />
      )}
      {isAsked('overpaid', 'overpaymentAccepted') && (
        <CheckField {...field('overpaymentAccepted')} label="Yes, keep the rest as credit" />
      )}
    </>
  )
}
