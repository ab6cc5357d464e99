import type { ReactNode } from 'react'
import { everyWords, weeksWords } from '@/components/due/due-words'
import { dateWords, moneyWords, Sheet } from '@/components/paper'
import { PageLink } from '@/components/shell'

type Saving = { mean: number; lower: number; upper: number; certainty: string }

type LastAnswer = {
  decision: 'accepted' | 'declined'
  intervalDays: number | null
  decidedOn: string
  personName: string
}

type Props = {
  /** Days; null: only when needed. */
  intervalDays: number | null
  source: 'accepted' | 'start'
  /** Days; null: waiting. */
  cheapestDays: number | null
  /** What was done so far; null: only when needed; undefined: too little was renewed to tell. */
  habitDays: number | null | undefined
  savingOnHabit: Saving | null
  /** Asks for another interval, with what it saves. */
  proposal: { intervalDays: number | null; saving: Saving } | null
  /** What the owner last said of it; null where nothing was said. */
  lastAnswer?: LastAnswer | null
  currency: string
  locale: string
  /** The form that sets another interval, for somebody who may. */
  children?: ReactNode
}

/** The interval that holds for one task on one device, what was done so far, and what another would save. */
export function IntervalSheet(props: Props) {
  const { intervalDays, source, cheapestDays, habitDays, savingOnHabit, proposal, currency, locale, children } = props
  const said = props.lastAnswer ?? null
  const saidWhen =
    said &&
    `on ${dateWords({ date: said.decidedOn, style: 'date', locale })}${said.personName && `, ${said.personName}`}`
  const money = (minor: number) => moneyWords({ minor, currency, locale, whole: true })
  const saves = (saving: Saving) =>
    `about ${money(saving.mean)} a year (${money(saving.lower)} to ${money(saving.upper)}), ${saving.certainty}`
  return (
    <Sheet title="The interval">
      <p>
        It is {intervalDays === null ? 'done' : 'planned'} <strong>{everyWords(intervalDays)}</strong>
        {source === 'accepted'
          ? `, set by you${said?.decision === 'accepted' ? ` ${saidWhen}` : ''}.`
          : ', our starting interval.'}{' '}
        {said?.decision === 'declined' &&
          `${capital(everyWords(said.intervalDays))} was proposed; you left it ${intervalDays === null ? 'as it is' : `at ${everyWords(intervalDays)}`} ${saidWhen}. `}
        {proposal ? (
          <>
            {capital(everyWords(proposal.intervalDays))} would save {saves(proposal.saving)}.{' '}
            {children && <PageLink href="/work-due/intervals">Decide</PageLink>}
          </>
        ) : cheapestDays === intervalDays ? (
          'That is the cheapest at these visits and costs.'
        ) : said?.decision === 'declined' ? (
          'You are asked again after half a year, or sooner if the records clearly move.'
        ) : (
          `Your records point to ${cheapestDays === null ? 'waiting until it is needed' : weeksWords(cheapestDays)}, but not clearly enough to suggest a change.`
        )}
      </p>
      {savingOnHabit && habitDays !== undefined && (
        <p className="small soft">
          So far it was renewed {habitDays === null ? 'only when needed' : `about every ${weeksWords(habitDays)}`}.{' '}
          {savingOnHabit.certainty === 'cannot tell'
            ? 'No clear difference in cost yet against the interval that costs least.'
            : `Against that, the interval that costs least saves ${savingOnHabit.mean >= 100 ? saves(savingOnHabit) : 'next to nothing'}.`}
        </p>
      )}
      {children}
    </Sheet>
  )
}

const capital = (words: string) => `${words.charAt(0).toUpperCase()}${words.slice(1)}`
