'use client'

import { ChoiceField, Field, Form, NumberField, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import type { Choice } from './fields'

type Props = { action: FormAction; partId: string; places: readonly Choice[]; today: string }

/** What came in; `order` where it was ordered, with how much is still to come. */
export function ReceiveForm({
  action,
  partId,
  places,
  today,
  order,
}: Props & { order?: { id: string; left: number } }) {
  return (
    <Form
      name="stock.receive"
      action={action}
      hidden={{ partId, ...(order && { orderId: order.id }) }}
      values={{ quantity: order && String(order.left), placeId: places[0]?.value, movedOn: today }}
      submit="It came"
      plain
    >
      {({ field }) => (
        <div className="parts-fields">
          <NumberField {...field('quantity')} label="How many came" />
          <SelectField {...field('placeId')} label="Put where" options={places} />
          <Field {...field('movedOn')} label="On" type="date" />
          <Field {...field('note')} label="Note" hint="Delivery note, or blank." />
        </div>
      )}
    </Form>
  )
}

/** From one place to another. */
export function MoveForm({ action, partId, places, today }: Props) {
  return (
    <Form
      name="stock.move"
      action={action}
      hidden={{ partId }}
      values={{ fromPlaceId: places[0]?.value, toPlaceId: places[1]?.value, movedOn: today }}
      submit="Move it"
      plain
    >
      {({ field }) => (
        <div className="parts-fields">
          <NumberField {...field('quantity')} label="How many" />
          <Field {...field('movedOn')} label="On" type="date" />
          <SelectField {...field('fromPlaceId')} label="From" options={places} />
          <SelectField {...field('toPlaceId')} label="To" options={places} />
        </div>
      )}
    </Form>
  )
}

const WAYS_OUT = [
  { value: 'written-off', label: 'Thrown away', sub: 'Broken, too old, lost' },
  { value: 'returned', label: 'Back to the supplier' },
]

/** What left without a visit. */
export function TakeOffForm({ action, partId, places, today }: Props) {
  return (
    <Form
      name="stock.take-off"
      action={action}
      hidden={{ partId }}
      values={{ placeId: places[0]?.value, movedOn: today }}
      submit="Take it off"
      plain
    >
      {({ field }) => (
        <div className="parts-fields">
          <div className="wide">
            <ChoiceField {...field('kind')} label="Where did it go?" options={WAYS_OUT} />
          </div>
          <NumberField {...field('quantity')} label="How many" />
          <SelectField {...field('placeId')} label="From" options={places} />
          <Field {...field('movedOn')} label="On" type="date" />
          <Field {...field('note')} label="Why" />
        </div>
      )}
    </Form>
  )
}

type CorrectProps = { action: FormAction; moveId: string; quantity: number }

/** How much a move should have been. */
export function CorrectMoveForm({ action, moveId, quantity }: CorrectProps) {
  return (
    <Form
      name="stock.correct"
      action={action}
      hidden={{ moveId }}
      values={{ quantity: String(quantity) }}
      submit="Save correction"
      plain
    >
      {({ field }) => (
        <>
          <NumberField {...field('quantity')} label="How many it was" hint="0 if it never happened." />
          <Field {...field('note')} label="Why" />
        </>
      )}
    </Form>
  )
}
