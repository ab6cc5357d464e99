import { scaleLinear } from 'd3-scale'
import { line } from 'd3-shape'
import { quantityWords } from '../paper/quantity'
import { ChartTable } from './chart-table'
import { PLOT_PX, PLOT_UNITS, Plot } from './plot'

export type CostPoint = { interval: number; cost: number }
export type CostChartProps = {
  /** What each interval costs, in order of interval. */
  points: readonly CostPoint[]
  /** The cheapest interval; null where none is: run to failure. */
  optimum: CostPoint | null
  /** What an interval is counted in, e.g. "weeks". */
  unit: string
  /** What a cost is, e.g. "pounds a year". */
  costUnit: string
  label: string
  /** What never doing it ahead of time costs; drawn as a level line. */
  runToFailure?: number
  locale?: string
}

const MARGIN_PX = 12

/** What an interval costs over the intervals one could choose, with the cheapest marked. */
export function CostChart(props: CostChartProps) {
  const { points, optimum, unit, costUnit, label, runToFailure, locale = 'en-GB' } = props
  const costs = [...points.map((point) => point.cost), ...(runToFailure === undefined ? [] : [runToFailure])]
  const intervals = points.map((point) => point.interval)
  if (points.length < 2) return <p className="soft">{label}: nothing to compare yet.</p>
  const x = scaleLinear([Math.min(...intervals), Math.max(...intervals)], [0, PLOT_UNITS])
  const y = scaleLinear([0, Math.max(...costs)], [PLOT_PX, MARGIN_PX])
  const path = line<CostPoint>(
    (point) => x(point.interval),
    (point) => y(point.cost),
  ).digits(1)([...points])
  const figure = y.tickFormat(4)
  const words = optimum
    ? `cheapest every ${quantityWords({ value: optimum.interval, unit, locale })}, ${quantityWords({ value: optimum.cost, unit: costUnit, locale, decimals: 0 })}`
    : 'no interval is cheaper than waiting until it needs it'
  return (
    <figure className="chart">
      <Plot
        name={`${label}: ${words}`}
        yTicks={y.ticks(4).map((value) => ({ at: y(value), label: figure(value) }))}
        xTicks={x.ticks(6).map((value) => ({ at: x(value) / 10, label: quantityWords({ value, locale }) }))}
        xWords={unit}
        over={
          optimum && (
            <>
              <line
                className="plot-drop"
                x1={`${x(optimum.interval) / 10}%`}
                x2={`${x(optimum.interval) / 10}%`}
                y1={y(optimum.cost)}
                y2={PLOT_PX}
              />
              <circle className="plot-best" cx={`${x(optimum.interval) / 10}%`} cy={y(optimum.cost)} r="6" />
            </>
          )
        }
      >
        {runToFailure !== undefined && <path className="plot-steps" d={`M0 ${y(runToFailure)}H${PLOT_UNITS}`} />}
        <path className="plot-line" d={path ?? ''} />
      </Plot>
      <ul className="chart-legend">
        <li data-line="solid">{costUnit}</li>
        {runToFailure !== undefined && <li data-line="steps">waiting until it needs it</li>}
        {optimum && <li data-line="best">cheapest</li>}
      </ul>
      <figcaption>
        {label}: {words}.
      </figcaption>
      <ChartTable
        caption={label}
        heads={[unit, costUnit]}
        rows={points.map((point) => [
          quantityWords({ value: point.interval, locale }),
          quantityWords({ value: point.cost, locale, decimals: 2 }),
        ])}
      />
    </figure>
  )
}
