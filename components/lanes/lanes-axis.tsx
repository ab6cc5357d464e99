import { dateWords } from '../paper/date-words'
import { tickClass } from './lane-track'
import type { TimeAxis } from './time-axis'

const AXIS_PX = 38
/** Where the word for today changes sides, so that it does not run over an edge (percent). */
const RIGHT_SIDE = 58

/** Months above the lanes, and below them in a second line the word for today, so that the two never meet. */
export function LanesAxis({ axis, today, locale }: { axis: TimeAxis; today: string; locale: string }) {
  const now = axis.percent(today)
  return (
    <div className="lanes-axis" aria-hidden="true">
      <svg height={AXIS_PX} aria-hidden="true">
        {axis.ticks.map((tick) => (
          <g key={tick.at} className={tickClass(tick.year ? 'lanes-tick lanes-year' : 'lanes-tick', tick)}>
            <line x1={`${tick.at}%`} x2={`${tick.at}%`} y1="3" y2={AXIS_PX} />
            <text x={`${tick.at}%`} y="14" dx="5">
              {tick.label}
            </text>
          </g>
        ))}
        {axis.contains(today) && (
          <>
            <line className="lane-today" x1={`${now}%`} x2={`${now}%`} y1="22" y2={AXIS_PX} />
            <text
              className="lanes-now"
              x={`${now}%`}
              y="33"
              dx={now > RIGHT_SIDE ? -6 : 6}
              textAnchor={now > RIGHT_SIDE ? 'end' : 'start'}
            >
              today, {dateWords({ date: today, style: 'short', locale })}
            </text>
          </>
        )}
      </svg>
    </div>
  )
}
