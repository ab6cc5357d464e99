import type { ReactNode } from 'react'

/** Width of a plot's own coordinates; they are stretched over whatever width there is, heights stay in px. */
export const PLOT_UNITS = 1000
export const PLOT_PX = 170

export type PlotTick = { at: number; label: string }

export type PlotProps = {
  /** Accessible name: what is drawn and what it says. */
  name: string
  /** Upright ticks in px from the top. */
  yTicks: readonly PlotTick[]
  /** Level ticks in percent from the left. */
  xTicks: readonly PlotTick[]
  /** Drawn in PLOT_UNITS × PLOT_PX and stretched; strokes keep their width. */
  children: ReactNode
  /** Drawn in percent × px: dots and words, which must not be stretched. */
  over?: ReactNode
  xWords?: string
}

/** Places where the last label would leave the plot are anchored at their end. */
const anchorAt = (percent: number) => (percent > 92 ? 'end' : percent < 4 ? 'start' : 'middle')

/** The frame of the small charts: figures at the left, a plot that fills the width, words below. */
export function Plot({ name, yTicks, xTicks, children, over, xWords }: PlotProps) {
  return (
    <div className="plot" role="img" aria-label={name}>
      <svg className="plot-figures" height={PLOT_PX + 26} aria-hidden="true">
        {yTicks.map((tick) => (
          <text key={tick.label} x="100%" y={tick.at} dy="4.5" textAnchor="end">
            {tick.label}
          </text>
        ))}
      </svg>
      <svg className="plot-field" height={PLOT_PX + 26} aria-hidden="true">
        {yTicks.map((tick) => (
          <line key={tick.label} className="plot-grid" x1="0" x2="100%" y1={tick.at} y2={tick.at} />
        ))}
        <svg
          width="100%"
          height={PLOT_PX}
          viewBox={`0 0 ${PLOT_UNITS} ${PLOT_PX}`}
          preserveAspectRatio="none"
          aria-hidden="true"
          className="plot-lines"
        >
          {children}
        </svg>
        <line className="plot-base" x1="0" x2="100%" y1={PLOT_PX} y2={PLOT_PX} />
        {xTicks.map((tick) => (
          <g key={tick.at}>
            <line className="plot-base" x1={`${tick.at}%`} x2={`${tick.at}%`} y1={PLOT_PX} y2={PLOT_PX + 5} />
            <text x={`${tick.at}%`} y={PLOT_PX + 20} textAnchor={anchorAt(tick.at)}>
              {tick.label}
            </text>
          </g>
        ))}
        {over}
      </svg>
      {xWords !== undefined && <div className="plot-x-words">{xWords}</div>}
    </div>
  )
}
