'use client'

import { ChoiceField, Field, SelectField } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people'
import { type Choice, fieldsOf, type Hidden } from './fields'

const KINDS = [
  { value: 'shelf', label: 'A shelf', sub: 'Where vans are loaded' },
  { value: 'van', label: 'A van' },
]

type Props = {
  action: PostAction
  hidden: Hidden
  people: readonly Choice[]
  place?: { kind: string; name: string; personId: string }
}

/** A shelf or a van, new or changed. */
export function PlaceForm({ action, hidden, people, place }: Props) {
  const known = { name: place?.name ?? '', personId: place?.personId ?? '' }
  return (
    <PostForm action={action} hidden={hidden} submit={place ? 'Save' : 'Add this place'} plain>
      {(state, id) => {
        const field = fieldsOf(state, id, known)
        return (
          <>
            {!place && (
              <ChoiceField
                id={id('kind')}
                name="kind"
                label="What is it?"
                options={KINDS}
                defaultValue={state.typed.kind}
                error={state.fields.kind?.[0]}
              />
            )}
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
        )
      }}
    </PostForm>
  )
}
