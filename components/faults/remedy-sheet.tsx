import { Form } from '@/components/forms'
import { DateWords, Sheet } from '@/components/paper'
import type { FormAction } from '@/lib/office/frame/schema'
import { RemedyForm } from './remedy-form'

export type RemedyView = {
  id: string
  remedy: string
  effectiveOn: string
  personName: string
  state: 'fell' | 'not-fallen' | 'early' | 'unseen'
  /** What came of it, in a sentence. */
  words: string
  /** The ratio with its interval; blank where there is none. */
  interval: string
}

type Props = {
  remedies: readonly RemedyView[]
  pair: { tankId: string; equipmentClass: string; failureMode: string }
  today: string
  record: FormAction
  correct: FormAction
  takeBack: FormAction
}

const STATE_WORDS: Readonly<Record<RemedyView['state'], string>> = {
  fell: 'It fell.',
  'not-fallen': 'It has not fallen.',
  early: 'Watching.',
  unseen: 'Watching.',
}

/** What was decided against a fault and what came of it; and where the next decision is written down. */
export function RemedySheet({ remedies, pair, today, record, correct, takeBack }: Props) {
  const [newest] = remedies
  const isOpen = newest !== undefined && newest.state !== 'not-fallen'
  const form = <RemedyForm action={record} of={pair} today={today} />
  return (
    <Sheet title="What was decided" tone={newest?.state === 'not-fallen' ? 'call' : undefined}>
      {remedies.length === 0 && (
        <p className="soft">Nothing yet. Record a fix and we’ll compare faults before and after.</p>
      )}
      {remedies.map((remedy) => (
        <div key={remedy.id} className="stack">
          <p>
            <strong>{STATE_WORDS[remedy.state]}</strong> {remedy.remedy}{' '}
            <span className="soft small">
              since <DateWords date={remedy.effectiveOn} style="date" />
              {remedy.personName && `, ${remedy.personName}`}
            </span>
          </p>
          <p>
            {remedy.words} {remedy.interval && <span className="soft small">{remedy.interval}</span>}
          </p>
          <details>
            <summary>Correct or take back</summary>
            <RemedyForm action={correct} of={{ remedyId: remedy.id }} remedy={remedy} today={today} />
            <Form
              name="remedy.take-back"
              action={takeBack}
              hidden={{ remedyId: remedy.id }}
              submit="It was never done: take it back"
              plain
            />
          </details>
        </div>
      ))}
      {isOpen ? (
        <details>
          <summary>Something further was decided</summary>
          {form}
        </details>
      ) : (
        form
      )}
    </Sheet>
  )
}
