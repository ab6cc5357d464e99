import { MeanCountChart, type MeanCountPoint } from '@/components/charts'
import { Field, SubmitButton } from '@/components/forms'
import { DateWords, Sheet } from '@/components/paper'

type Props = {
  today: string
  own: readonly { date: string; count: number }[]
  mean: readonly MeanCountPoint[]
  /** What changed since the day asked about. */
  since: { date: string; words: string; interval: string } | null
  /** The day that stands in the field at first. */
  suggested: string
  likeliest: { date: string; clear: boolean; words: string; pValue: number } | null
  trend: { words: string; pValue: number } | null
}

/** How often a fault came over time: this tank beside the others, before and since a day, and whether there is a trend. */
export function ChangeSheet({ today, own, mean, since, suggested, likeliest, trend }: Props) {
  return (
    <Sheet title="How often, over time" id="over-time">
      <MeanCountChart
        mean={mean}
        own={own}
        label="Needs"
        meanWords="mean of the tanks with such a device"
        ownWords="this tank"
        to={today}
      />
      <h3>Trend</h3>
      <p>
        {trend ? trend.words : 'Seen too seldom to speak of a trend: four needs at least.'}{' '}
        {trend && (
          <span className="soft small">Chance alone: {chanceWords(trend.pValue)}, allowing for regular wear.</span>
        )}
      </p>
      <h3>Changed since a day</h3>
      {since && (
        <p>
          <strong>
            Since <DateWords date={since.date} style="date" />:
          </strong>{' '}
          {since.words} {since.interval && <span className="soft small">{since.interval}</span>}
        </p>
      )}
      <form method="get" action="#over-time">
        <Field name="since" type="date" label="Since which day?" max={today} defaultValue={since?.date ?? suggested} />
        <div className="form-actions">
          <SubmitButton plain>Compare before and since</SubmitButton>
        </div>
      </form>
      {likeliest && (
        <p>
          {likeliest.clear && (
            <strong>
              Likeliest day of a change: <DateWords date={likeliest.date} style="date" />.{' '}
            </strong>
          )}
          {likeliest.words}{' '}
          <span className="soft small">
            Chance alone makes such a change {chanceWords(likeliest.pValue)}, having looked through all days. A day that
            you picked because of what you saw flatters the comparison above.
          </span>
        </p>
      )}
    </Sheet>
  )
}

/** 0.032 → "32 times in 1,000". */
function chanceWords(p: number): string {
  const times = Math.round(p * 1000)
  if (times < 1) return 'less than once in 1,000'
  if (times > 998) return 'nearly always'
  return times === 1 ? 'once in 1,000' : `${times} times in 1,000`
}
