'use client'

import { MoneyField, NumberField, SelectField } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people'

type Props = {
  action: PostAction
  hidden: Readonly<Record<string, string>>
  currency: string
  classes: readonly { value: string; label: string }[]
  values: Readonly<Record<string, string>>
}

/** States the costs of one class of equipment, or of everything that has none of its own. */
export function CostsForm({ action, hidden, currency, classes, values }: Props) {
  return (
    <PostForm action={action} hidden={hidden} submit="State these costs">
      {({ typed, fields }, id) => {
        const field = (name: string, label: string) => ({
          id: id(name),
          name,
          label,
          defaultValue: typed[name] ?? values[name] ?? '',
          error: fields[name]?.[0],
        })
        return (
          <>
            <SelectField {...field('equipmentClass', 'For')} options={classes} />
            <MoneyField
              {...field('planned', 'Done while we are there anyway')}
              currency={currency}
              hint="For all equipment: without parts; what they cost is added from Parts. For one kind of equipment: with them."
            />
            <MoneyField
              {...field('found', 'Found failed at a visit')}
              currency={currency}
              hint="The same work, plus what the failure cost by then."
            />
            <MoneyField
              {...field('callOut', 'The client calls, and we make the trip')}
              currency={currency}
              hint="The whole extra visit: the way, the time, the parts in a hurry."
            />
            <MoneyField
              {...field('hiddenPerDay', 'Each day it stays failed unnoticed')}
              currency={currency}
              hint="What a day of it does to animals and equipment. 0 where nothing suffers."
            />
            <NumberField
              {...field('shareReportedPercent', 'Of the failures, the client notices and calls')}
              unit="%"
              hint="The others wait until our next visit."
            />
          </>
        )
      }}
    </PostForm>
  )
}
