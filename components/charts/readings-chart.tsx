import { scaleLinear } from 'd3-scale'
import { line } from 'd3-shape'
import { dayMs, timeAxis } from '../lanes/time-axis'
import { DateWords, dateWords } from '../paper/date-words'
import { quantityWords } from '../paper/quantity'
import { ChartTable } from './chart-table'
import { PLOT_PX, PLOT_UNITS, Plot } from './plot'

export type Reading = { date: string; value: number }
export type ReadingsChartProps = {
  /** In order of date; two or more make a line. */
  points: readonly Reading[]
  target?: { low: number; high: number }
  /** As it is read, e.g. "meq/L"; empty for a bare figure. */
  unit: string
  /** What was measured, e.g. "Alkalinity". */
  label: string
  locale?: string
}

const DAY_MS = 86_400_000
const MARGIN_PX = 10
/** So many of the newest readings are listed below the chart; all are drawn. */
const READINGS_LISTED = 8

/** The day before or after, so that a single reading has an axis too. */
const dayBeside = (date: string, days: number) => new Date(dayMs(date) + days * DAY_MS).toISOString().slice(0, 10)

/** Readings over time against their target, which is a band with edges. The sentence below says the last one. */
export function ReadingsChart({ points, target, unit, label, locale = 'en-GB' }: ReadingsChartProps) {
  const first = points[0]
  const last = points[points.length - 1]
  if (first === undefined || last === undefined) return <p className="soft">{label}: no reading yet.</p>
  const single = first.date === last.date
  const axis = timeAxis(
    single ? dayBeside(first.date, -15) : first.date,
    single ? dayBeside(last.date, 15) : last.date,
    locale,
  )
  const values = [...points.map((point) => point.value), ...(target ? [target.low, target.high] : [])]
  const low = Math.min(...values)
  const high = Math.max(...values)
  const y = scaleLinear(low === high ? [low - 1, high + 1] : [low, high], [PLOT_PX - MARGIN_PX, MARGIN_PX])
  const x = (point: Reading) => (axis.percent(point.date) / 100) * PLOT_UNITS
  const path = line<Reading>(x, (point) => y(point.value)).digits(1)([...points])
  // All dots as strokes of no length with round ends, which keep their size where the drawing is stretched.
  const dots = (some: readonly Reading[]) =>
    some.map((point) => `M${x(point).toFixed(1)} ${y(point.value).toFixed(1)}h0`).join('')
  const figure = y.tickFormat(4)
  const unitOf = unit === '' ? undefined : unit
  const sentence = [
    `${label}: ${quantityWords({ value: last.value, unit: unitOf, locale })} on ${dateWords({ date: last.date, style: 'date', locale })}`,
    target && `target ${quantityWords({ value: target.low, locale })}–${quantityWords({ value: target.high, locale })}`,
  ]
  const words = sentence.filter(Boolean).join(', ')
  return (
    <figure className="chart">
      <Plot
        name={words}
        yTicks={y.ticks(4).map((value) => ({ at: y(value), label: figure(value) }))}
        xTicks={axis.ticks.filter((tick) => tick.narrow).map((tick) => ({ at: tick.at, label: tick.label }))}
        over={
          <circle
            className={outside(last, target) ? 'plot-dot plot-dot-outside' : 'plot-dot'}
            cx={`${axis.percent(last.date).toFixed(1)}%`}
            cy={y(last.value).toFixed(1)}
            r="5"
          />
        }
      >
        {target && (
          <>
            <path className="plot-target" d={`M0 ${y(target.high)}H${PLOT_UNITS}V${y(target.low)}H0Z`} />
            <path className="plot-edge" d={`M0 ${y(target.high)}H${PLOT_UNITS}M0 ${y(target.low)}H${PLOT_UNITS}`} />
          </>
        )}
        <path className="plot-line" d={path ?? ''} />
        <path className="plot-dots" d={dots(points.filter((point) => !outside(point, target)))} />
        <path className="plot-dots plot-dots-outside" d={dots(points.filter((point) => outside(point, target)))} />
      </Plot>
      <figcaption>{words}.</figcaption>
      <ChartTable
        caption={
          points.length > READINGS_LISTED
            ? `${label}, the newest ${READINGS_LISTED} of ${points.length} readings`
            : `${label}, every reading`
        }
        heads={['Day', unit === '' ? label : `${label}, ${unit}`, ...(target ? ['Against the target'] : [])]}
        rows={points
          .slice(-READINGS_LISTED)
          .map((point) => [
            <DateWords key="day" date={point.date} style="date" locale={locale} />,
            quantityWords({ value: point.value, locale }),
            ...(target ? [against(point, target)] : []),
          ])}
      />
    </figure>
  )
}

function outside(point: Reading, target: ReadingsChartProps['target']): boolean {
  return target !== undefined && (point.value < target.low || point.value > target.high)
}

function against(point: Reading, target: { low: number; high: number }): string {
  if (point.value < target.low) return 'below'
  return point.value > target.high ? 'above' : 'within'
}
