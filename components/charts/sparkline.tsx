import { scaleLinear } from 'd3-scale'
import { line } from 'd3-shape'
import { dayMs } from '../lanes/time-axis'
import type { Reading } from './readings-chart'

export type SparklineProps = {
  points: readonly Reading[]
  target?: { low: number; high: number }
  /** Accessible name: what is drawn and what it says. */
  label: string
}

const WIDTH = 120
const HEIGHT = 32
const MARGIN = 4

/** A line the size of a word, for the cell of a table; the figures stand in the cells beside it. */
export function Sparkline({ points, target, label }: SparklineProps) {
  const days = points.map((point) => dayMs(point.date))
  const values = [...points.map((point) => point.value), ...(target ? [target.low, target.high] : [])]
  if (points.length < 2) return null
  const x = scaleLinear([Math.min(...days), Math.max(...days)], [MARGIN, WIDTH - MARGIN])
  const y = scaleLinear([Math.min(...values), Math.max(...values)], [HEIGHT - MARGIN, MARGIN])
  const path = line<Reading>(
    (point) => x(dayMs(point.date)),
    (point) => y(point.value),
  ).digits(1)([...points])
  const last = points[points.length - 1]
  return (
    <svg
      className="sparkline"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      width={WIDTH}
      height={HEIGHT}
      role="img"
      aria-label={label}
    >
      {target && <path className="plot-target" d={`M0 ${y(target.high)}H${WIDTH}V${y(target.low)}H0Z`} />}
      {target && <path className="plot-edge" d={`M0 ${y(target.high)}H${WIDTH}M0 ${y(target.low)}H${WIDTH}`} />}
      <path className="plot-line" d={path ?? ''} />
      {last && <circle className="plot-dot" cx={x(dayMs(last.date))} cy={y(last.value)} r="3" />}
    </svg>
  )
}
