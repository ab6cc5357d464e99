'use client'

import { MoneyField } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people'

type Props = {
  action: PostAction
  hidden: Readonly<Record<string, string>>
  currency: string
  values: Readonly<Record<'travel' | 'goodwill' | 'animalsPerDay', string>>
}

/** What a need costs more at this client than elsewhere. */
export function ClientCostForm({ action, hidden, currency, values }: Props) {
  return (
    <PostForm action={action} hidden={hidden} submit="State what it costs here" plain>
      {({ typed, fields }, id) => {
        const field = (name: keyof typeof values, label: string, hint: string) => ({
          ...{ id: id(name), name, label, hint, currency },
          defaultValue: typed[name] ?? values[name],
          error: fields[name]?.[0],
        })
        return (
          <>
            <MoneyField
              {...field('travel', 'Travel, each call-out', 'Beyond a usual call-out: a long way, a ferry, parking.')}
            />
            <MoneyField
              {...field('goodwill', 'Goodwill, each time they find it first', 'What their trust is worth to you.')}
            />
            <MoneyField
              {...field(
                'animalsPerDay',
                'Animals at risk, each day a dangerous fault goes unseen',
                'A tank of rare fish suffers more from a day than another.',
              )}
            />
          </>
        )
      }}
    </PostForm>
  )
}
