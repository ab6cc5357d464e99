import { NumberField } from '@/components/forms'
import { DateWords, quantityWords, Sheet } from '@/components/paper'
import { Cautions, VisitForm } from '@/components/visits'
import type { FormAction } from '@/lib/office/frame/schema'
import { withoutLabel } from './refill-sheet'
import { VERDICT_WORDS, type Verdict } from './verdict-words'

type Said = { before: number | null; after: number | null }
type VisitRefill = {
  id: string
  label: string
  unit: string
  capacity: number
  how: string
  filledBy: 'technician' | 'site-staff'
  verdict: Verdict
  words: string
  usageWords: string
  fill: { level: number; fits: boolean; untilOn: string } | null
  cautions: readonly string[]
  said: Said | null
}
type Props = {
  refills: readonly VisitRefill[]
  action: FormAction
  visitId: string
  locale: string
}

/** The containers at this visit: as they were come upon, as they are left, and how far to fill. One form for each. */
export function VisitLevels({ refills, action, visitId, locale }: Props) {
  if (refills.length === 0) return null
  return (
    <Sheet title="Refills">
      {refills.map((refill) => {
        const { id, label, unit, how, verdict, said, cautions } = refill
        // Until its level is written down, an answer would be about a level nobody has seen today.
        const words = said ? withoutLabel(refill.words, label) : refill.usageWords
        const figure = (value: number) => quantityWords({ value, unit, locale })
        const told = said && [
          said.before === null ? '' : `was ${figure(said.before)}`,
          said.after === null ? '' : `left at ${figure(said.after)}`,
        ]
        return (
          <details className="visit-task" key={id}>
            <summary>
              <span>
                {label}
                <br />
                <span className={`small ${said ? VERDICT_WORDS[verdict].tone : 'soft'}`}>
                  {told
                    ? [...told, VERDICT_WORDS[verdict].words].filter(Boolean).join(', ')
                    : 'level not written down yet'}
                </span>
              </span>
            </summary>
            <p>{words}</p>
            {how !== '' && <p className="soft">{how}</p>}
            <Cautions texts={cautions} local="Local codes and licensed trades go first." />
            <VisitForm
              action={action}
              kind="visit.levels"
              visitId={visitId}
              about={id}
              submit={said ? 'Change the levels' : 'Record the levels'}
              big
            >
              <NumberField name={`before|${id}`} label="As you found it" unit={unit} />
              <FillWords refill={refill} locale={locale} />
              <NumberField name={`after|${id}`} label="As you leave it" hint="Blank: not filled." unit={unit} />
            </VisitForm>
          </details>
        )
      })}
    </Sheet>
  )
}

function FillWords({ refill: { fill, filledBy, unit, capacity }, locale }: { refill: VisitRefill; locale: string }) {
  if (fill === null) return null
  const until = <DateWords date={fill.untilOn} style="short" locale={locale} />
  const level = quantityWords({ value: Math.min(capacity, roundUp(fill.level)), unit, locale })
  if (!fill.fits)
    return (
      <p className="call">
        Even full it may not last until {until}, three days after the next visit. Say so before you leave
        {filledBy === 'technician' ? ': put in a bigger container.' : '.'}
      </p>
    )
  return (
    <p>
      Fill to at least <b>{level}</b>: 9 times in 10 it then lasts until {until}, three days after the next visit.
    </p>
  )
}

/** Up to two figures that count: 13.27 is 14, so that what is filled is never short. */
function roundUp(value: number): number {
  if (value <= 0) return 0
  const step = 10 ** (Math.floor(Math.log10(value)) - 1)
  return Number((Math.ceil(value / step - 1e-9) * step).toPrecision(12))
}
