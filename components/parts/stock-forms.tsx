'use client'

import { ChoiceField, Field, NumberField, SelectField } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people'
import { type Choice, fieldsOf, type Hidden } from './fields'

type Props = { action: PostAction; hidden: Hidden; places: readonly Choice[]; today: string }

/** What came in; `left` where an order says how much is still to come. */
export function ReceiveForm({ action, hidden, places, today, left }: Props & { left?: number }) {
  const known = {
    quantity: left === undefined ? '' : String(left),
    placeId: places[0]?.value ?? '',
    movedOn: today,
    note: '',
  }
  return (
    <PostForm action={action} hidden={hidden} submit="It came" plain>
      {(state, id) => {
        const field = fieldsOf(state, id, known)
        return (
          <div className="parts-fields">
            <NumberField {...field('quantity')} label="How many came" />
            <SelectField {...field('placeId')} label="Put where" options={places} />
            <Field {...field('movedOn')} label="On" type="date" />
            <Field {...field('note')} label="Note" hint="Delivery note, or blank." />
          </div>
        )
      }}
    </PostForm>
  )
}

/** From one place to another. */
export function MoveForm({ action, hidden, places, today }: Props) {
  const known = {
    quantity: '',
    fromPlaceId: places[0]?.value ?? '',
    toPlaceId: places[1]?.value ?? '',
    movedOn: today,
    note: '',
  }
  return (
    <PostForm action={action} hidden={hidden} submit="Move it" plain>
      {(state, id) => {
        const field = fieldsOf(state, id, known)
        return (
          <div className="parts-fields">
            <NumberField {...field('quantity')} label="How many" />
            <Field {...field('movedOn')} label="On" type="date" />
            <SelectField {...field('fromPlaceId')} label="From" options={places} />
            <SelectField {...field('toPlaceId')} label="To" options={places} />
          </div>
        )
      }}
    </PostForm>
  )
}

const WAYS_OUT = [
  { value: 'written-off', label: 'Thrown away', sub: 'Broken, too old, lost' },
  { value: 'returned', label: 'Back to the supplier' },
]

/** What left without a visit. */
export function TakeOffForm({ action, hidden, places, today }: Props) {
  const known = { quantity: '', placeId: places[0]?.value ?? '', movedOn: today, note: '', kind: '' }
  return (
    <PostForm action={action} hidden={hidden} submit="Take it off" plain>
      {(state, id) => {
        const field = fieldsOf(state, id, known)
        return (
          <div className="parts-fields">
            <div className="wide">
              <ChoiceField
                id={id('kind')}
                name="kind"
                label="Where did it go?"
                options={WAYS_OUT}
                defaultValue={state.typed.kind}
                error={state.fields.kind?.[0]}
              />
            </div>
            <NumberField {...field('quantity')} label="How many" />
            <SelectField {...field('placeId')} label="From" options={places} />
            <Field {...field('movedOn')} label="On" type="date" />
            <Field {...field('note')} label="Why" />
          </div>
        )
      }}
    </PostForm>
  )
}

/** How much a move should have been. */
export function CorrectMoveForm({
  action,
  hidden,
  quantity,
}: {
  action: PostAction
  hidden: Hidden
  quantity: number
}) {
  return (
    <PostForm action={action} hidden={hidden} submit="Put it right" plain>
      {(state, id) => {
        const field = fieldsOf(state, id, { quantity: String(quantity), note: '' })
        return (
          <>
            <NumberField {...field('quantity')} label="How many it was" hint="0 if it never happened." />
            <Field {...field('note')} label="Why" />
          </>
        )
      }}
    </PostForm>
  )
}
