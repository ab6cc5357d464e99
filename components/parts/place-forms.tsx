'use client'

import { ChoiceField, Field, Form, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import type { Choice } from './fields'

const KINDS = [
  { value: 'shelf', label: 'A shelf', sub: 'Where vans are loaded' },
  { value: 'van', label: 'A van' },
]

type Props = {
  action: FormAction
  people: readonly Choice[]
  place?: { id: string; kind: string; name: string; personId: string }
}

/** A shelf or a van, new or changed. */
export function PlaceForm({ action, people, place }: Props) {
  return (
    <Form
      name={place ? 'place.edit' : 'place.add'}
      action={action}
      hidden={place && { placeId: place.id }}
      values={place ?? {}}
      submit={place ? 'Save' : 'Add this place'}
      plain
    >
      {({ field }) => (
        <>
          {!place && <ChoiceField {...field('kind')} label="What is it?" options={KINDS} />}
          <Field {...field('name')} label="What do you call it?" autoComplete="off" />
          {place?.kind !== 'shelf' && (
            <SelectField
              {...field('personId')}
              label="Who drives it?"
              hint="What they use at visits comes off this van. A shelf needs nobody."
              placeholder="Nobody"
              options={people}
            />
          )}
        </>
      )}
    </Form>
  )
}
