import { scaleLinear } from 'd3-scale'
import { line } from 'd3-shape'
import { ChartTable } from '../charts/chart-table'
import { PLOT_PX, PLOT_UNITS, Plot } from '../charts/plot'
import { timeAxis } from '../lanes/time-axis'
import { DateWords } from '../paper/date-words'
import { quantityWords } from '../paper/quantity'

export type WearChartProps = {
  /** What is measured and in what, e.g. "Dose per minute", "mL/min". */
  label: string
  unit: string
  path: readonly { day: number; value: number }[]
  threshold: number
  /** The crossing and its band, days since 1970-01-01; null where no date follows. */
  crossing: { day: number; from: number; until: number | null } | null
  words: string
  locale?: string
}

const MARGIN_PX = 12
const DAY_MS = 86_400_000
const isoOf = (day: number) => new Date(day * DAY_MS).toISOString().slice(0, 10)

/** A figure that wears towards its threshold: the readings, the threshold as a line, and when it will meet it as a band. */
export function WearChart({ label, unit, path, threshold, crossing, words, locale = 'en-GB' }: WearChartProps) {
  const first = path[0]
  const last = path.at(-1)
  if (!first || !last) return null
  const ahead = crossing ? Math.max(crossing.until ?? crossing.day, crossing.day) : last.day
  const span = Math.max(30, ahead - first.day)
  const axis = timeAxis(isoOf(first.day), isoOf(Math.max(last.day, first.day + Math.ceil(span * 1.05))), locale)
  const values = [...path.map(({ value }) => value), threshold]
  const [low, high] = [Math.min(...values), Math.max(...values)]
  const y = scaleLinear(low === high ? [low - 1, high + 1] : [low, high], [PLOT_PX - MARGIN_PX, MARGIN_PX])
  const x = (day: number) => (axis.percent(isoOf(day)) / 100) * PLOT_UNITS
  const figure = y.tickFormat(4)
  const drawn = line<{ day: number; value: number }>(
    (point) => x(point.day),
    (point) => y(point.value),
  ).digits(1)([...path])
  return (
    <figure className="chart">
      <Plot
        name={words}
        yTicks={y.ticks(4).map((value) => ({ at: y(value), label: figure(value) }))}
        xTicks={axis.ticks.filter((tick) => tick.narrow).map(({ at, label: name }) => ({ at, label: name }))}
        over={path.map(({ day, value }) => (
          <circle key={day} className="plot-dot" cx={`${axis.percent(isoOf(day))}%`} cy={y(value)} r={3.5} />
        ))}
      >
        {crossing && (
          <path
            className="plot-sure"
            d={`M${x(crossing.from)} 0H${crossing.until === null ? PLOT_UNITS : x(crossing.until)}V${PLOT_PX}H${x(crossing.from)}Z`}
          />
        )}
        <path className="plot-drop" d={`M0 ${y(threshold)}H${PLOT_UNITS}`} />
        {crossing && (
          <path className="plot-steps" d={`M${x(last.day)} ${y(last.value)}L${x(crossing.day)} ${y(threshold)}`} />
        )}
        <path className="plot-line" d={drawn ?? ''} />
      </Plot>
      <ul className="chart-legend">
        <li data-line="solid">measured</li>
        {crossing && <li data-line="steps">as it goes on</li>}
        {crossing && <li data-line="band">when it crosses, 8 times in 10</li>}
      </ul>
      <figcaption>
        The dotted line is {quantityWords({ value: Number(threshold.toPrecision(4)), unit, locale })}: there it is
        renewed.
      </figcaption>
      <ChartTable
        caption={`${label}, every reading that counts`}
        heads={['Day', `${label}, ${unit}`]}
        rows={path.map(({ day, value }) => [
          <DateWords key="day" date={isoOf(day)} style="date" locale={locale} />,
          quantityWords({ value: Number(value.toFixed(2)), locale }),
        ])}
      />
    </figure>
  )
}
