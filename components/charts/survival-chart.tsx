import { scaleLinear } from 'd3-scale'
import { area, curveStepAfter, line } from 'd3-shape'
import { quantityWords } from '../paper/quantity'
import { ChartTable } from './chart-table'
import { PLOT_PX, PLOT_UNITS, Plot } from './plot'

export type SurvivalPoint = { time: number; survival: number }
export type SurvivalChartProps = {
  /** The fitted curve, in order of time. */
  parametric: readonly SurvivalPoint[]
  /** What was counted, as steps. */
  nonparametric?: readonly SurvivalPoint[]
  /** How sure the fitted curve is. */
  band?: readonly { time: number; lower: number; upper: number }[]
  /** What time is counted in, e.g. "weeks". */
  unit: string
  /** What still runs, e.g. "Skimmer impellers still free of film". */
  label: string
  bandWords?: string
  locale?: string
}

type BandPoint = { time: number; lower: number; upper: number }

/** The share still running over time: the fitted curve, the counted steps it must answer to, and how sure it is. */
export function SurvivalChart(props: SurvivalChartProps) {
  const { parametric, nonparametric = [], band = [], unit, label, bandWords = '9 in 10 sure', locale = 'en-GB' } = props
  const end = Math.max(...[...parametric, ...nonparametric, ...band].map((point) => point.time), 1)
  const x = scaleLinear([0, end], [0, PLOT_UNITS])
  const y = scaleLinear([0, 1], [PLOT_PX, 8])
  const half = parametric.find((point) => point.survival <= 0.5)
  const halfWords = half
    ? `half by ${quantityWords({ value: half.time, unit, locale, decimals: 0 })}`
    : `more than half still at ${quantityWords({ value: end, unit, locale, decimals: 0 })}`
  const curve = line<SurvivalPoint>(
    (point) => x(point.time),
    (point) => y(point.survival),
  ).digits(1)
  const fitted = curve([...parametric]) ?? ''
  const counted = curve.curve(curveStepAfter)([...nonparametric]) ?? ''
  const sure = area<BandPoint>(
    (point) => x(point.time),
    (point) => y(point.lower),
    (point) => y(point.upper),
  ).digits(1)
  return (
    <figure className="chart">
      <Plot
        name={`${label}: ${halfWords}`}
        yTicks={[0, 0.25, 0.5, 0.75, 1].map((share) => ({ at: y(share), label: `${share * 100} %` }))}
        xTicks={x.ticks(5).map((time) => ({ at: x(time) / 10, label: quantityWords({ value: time, locale }) }))}
        xWords={unit}
      >
        {band.length > 1 && <path className="plot-sure" d={sure([...band]) ?? ''} />}
        {nonparametric.length > 0 && <path className="plot-steps" d={counted} />}
        <path className="plot-line" d={fitted} />
      </Plot>
      <ul className="chart-legend">
        <li data-line="solid">fitted</li>
        {nonparametric.length > 0 && <li data-line="steps">counted</li>}
        {band.length > 1 && <li data-line="band">{bandWords}</li>}
      </ul>
      <figcaption>
        {label}: {halfWords}.
      </figcaption>
      <ChartTable
        caption={label}
        heads={[unit, 'Fitted', ...(nonparametric.length > 0 ? ['Counted'] : [])]}
        rows={x
          .ticks(10)
          .map((time) => [
            quantityWords({ value: time, locale }),
            share(at(parametric, time)),
            ...(nonparametric.length > 0 ? [share(stepAt(nonparametric, time))] : []),
          ])}
      />
    </figure>
  )
}

function share(value: number | undefined): string {
  return value === undefined ? 'not known' : `${Math.round(value * 100)} %`
}

/** The fitted curve between its points, by straight lines; not beyond them. */
function at(points: readonly SurvivalPoint[], time: number): number | undefined {
  const after = points.findIndex((point) => point.time >= time)
  const right = points[after]
  if (right === undefined) return undefined
  if (right.time === time) return right.survival
  const left = points[after - 1]
  if (left === undefined) return undefined
  return left.survival + ((right.survival - left.survival) * (time - left.time)) / (right.time - left.time)
}

/** A step curve holds its last value and starts at one. */
function stepAt(points: readonly SurvivalPoint[], time: number): number | undefined {
  const last = points[points.length - 1]
  if (last !== undefined && time > last.time) return undefined
  return points.reduce((value, point) => (point.time <= time ? point.survival : value), 1)
}
