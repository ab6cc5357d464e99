'use client'

import { NumberField, SelectField } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people'
import { type Choice, fieldsOf, type Hidden } from './fields'

type Props = { action: PostAction; hidden: Hidden; tasks: readonly Choice[]; devices: readonly Choice[] }

const NOTHING = { careTask: '', equipmentId: '', quantity: '1' }

/** Which work uses the part, on all devices of a kind or on one of them. */
export function FitForm({ action, hidden, tasks, devices }: Props) {
  return (
    <PostForm action={action} hidden={hidden} submit="Add this work" plain>
      {(state, id) => {
        const field = fieldsOf(state, id, NOTHING)
        return (
          <div className="parts-fields">
            <SelectField
              {...field('careTask')}
              label="Work that uses it"
              placeholder="Choose the work"
              options={tasks}
            />
            <NumberField {...field('quantity')} label="How many each time" />
            <div className="wide">
              <SelectField
                {...field('equipmentId')}
                label="On which device?"
                hint="What is said of one device goes before what is said of all."
                placeholder="On every device of that kind"
                options={devices}
              />
            </div>
          </div>
        )
      }}
    </PostForm>
  )
}
