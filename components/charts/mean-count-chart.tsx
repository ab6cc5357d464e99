import { scaleLinear } from 'd3-scale'
import { area, curveStepAfter, line } from 'd3-shape'
import { dayMs, timeAxis } from '../lanes/time-axis'
import { DateWords } from '../paper/date-words'
import { quantityWords } from '../paper/quantity'
import { ChartTable } from './chart-table'
import { PLOT_PX, PLOT_UNITS, Plot } from './plot'

export type MeanCountPoint = { date: string; mean: number; lower: number; upper: number }
export type MeanCountChartProps = {
  /** Mean number of events of one unit by a day, as it grows; in order of date. */
  mean: readonly MeanCountPoint[]
  /** One unit's own count, as it grows. */
  own?: readonly { date: string; count: number }[]
  /** What is counted, e.g. "Needs". */
  label: string
  meanWords: string
  ownWords?: string
  /** The last day of the axis. */
  to: string
  locale?: string
}

const TOP_PX = 10
const TABLE_ROWS = 12
const DAY_MS = 86_400_000

/** More steps than this no screen can tell apart. */
const STEPS_DRAWN = 240

/** The last step of each of so many stretches; a mean of many tanks has one for every day. */
function thinned(mean: readonly MeanCountPoint[]): readonly MeanCountPoint[] {
  const every = Math.max(1, Math.ceil(mean.length / STEPS_DRAWN))
  return mean.filter((_, place) => (mean.length - 1 - place) % every === 0)
}

/** How often something has happened so far, on the mean of many and in one of them: steps with a band for how sure the mean is. */
export function MeanCountChart(props: MeanCountChartProps) {
  const { own = [], label, meanWords, ownWords = 'this one', to, locale = 'en-GB' } = props
  const mean = thinned(props.mean)
  const days = [...mean, ...own].map((point) => point.date).sort()
  const first = days[0]
  const last = mean[mean.length - 1]
  if (first === undefined || last === undefined) return <p className="soft">{label}: too little seen yet for a mean.</p>
  const from = new Date(dayMs(first) - 14 * DAY_MS).toISOString().slice(0, 10)
  const axis = timeAxis(from, [...days, to].sort().at(-1) ?? to, locale)
  const most = Math.max(...mean.map((point) => point.upper), ...own.map((point) => point.count), 1)
  const y = scaleLinear([0, most], [PLOT_PX, TOP_PX])
  const x = (date: string) => (axis.percent(date) / 100) * PLOT_UNITS
  const steps = line<{ date: string; value: number }>(
    (point) => x(point.date),
    (point) => y(point.value),
  )
    .curve(curveStepAfter)
    .digits(1)
  const grown = (points: readonly { date: string; value: number }[]) =>
    steps([{ date: from, value: 0 }, ...points, { date: to, value: points[points.length - 1]?.value ?? 0 }]) ?? ''
  const band = area<MeanCountPoint>(
    (point) => x(point.date),
    (point) => y(point.lower),
    (point) => y(point.upper),
  )
    .curve(curveStepAfter)
    .digits(1)
  const figure = (value: number) => quantityWords({ value: Math.round(value * 10) / 10, locale })
  const ownCount = own[own.length - 1]?.count ?? 0
  const words = `${label} so far: ${ownWords} ${ownCount}, ${meanWords} ${figure(last.mean)} (${figure(last.lower)} to ${figure(last.upper)}, 9 in 10)`
  const withoutOwn = `${label} so far: ${meanWords} ${figure(last.mean)} (${figure(last.lower)} to ${figure(last.upper)}, 9 in 10)`
  const sentence = own.length > 0 ? words : withoutOwn
  const every = Math.max(1, Math.ceil(mean.length / TABLE_ROWS))
  const rows = mean.filter((_, place) => (mean.length - 1 - place) % every === 0)
  return (
    <figure className="chart">
      <Plot
        name={sentence}
        yTicks={y.ticks(4).map((value) => ({ at: y(value), label: figure(value) }))}
        xTicks={axis.ticks.filter((tick) => tick.narrow).map((tick) => ({ at: tick.at, label: tick.label }))}
      >
        <path className="plot-sure" d={band([...mean, { ...last, date: to }]) ?? ''} />
        <path className="plot-steps" d={grown(mean.map(({ date, mean: value }) => ({ date, value })))} />
        {own.length > 0 && (
          <path className="plot-line" d={grown(own.map(({ date, count }) => ({ date, value: count })))} />
        )}
      </Plot>
      <ul className="chart-legend">
        {own.length > 0 && <li data-line="solid">{ownWords}</li>}
        <li data-line="steps">{meanWords}</li>
        <li data-line="band">9 in 10 sure of the mean</li>
      </ul>
      <figcaption>{sentence}.</figcaption>
      <ChartTable
        caption={`${label} so far`}
        heads={['By', 'Mean', 'From', 'To', ...(own.length > 0 ? ['Here'] : [])]}
        rows={rows.map((point) => [
          <DateWords key="day" date={point.date} style="date" locale={locale} />,
          figure(point.mean),
          figure(point.lower),
          figure(point.upper),
          ...(own.length > 0 ? [String(own.filter((one) => one.date <= point.date).length)] : []),
        ])}
      />
    </figure>
  )
}
