export type DayBarStop = {
  /** Minutes since local midnight. */
  start: number
  end: number
  /** `late`: over what was planned; someone should look. */
  state: 'planned' | 'now' | 'done' | 'late'
  /** e.g. "Kelp Quay Noodle Bar, 11:00–12:10, 25 minutes longer than planned" */
  words: string
  href?: string
}

export type DayBarRow = {
  id: string
  /** Who. */
  label: string
  /** How the day goes, in a sentence. */
  words: string
  stops: readonly DayBarStop[]
}

export type DayBarsProps = {
  rows: readonly DayBarRow[]
  /** The day drawn, in minutes since midnight; by default what the stops span, in whole hours. */
  from?: number
  to?: number
  /** Minutes since midnight now; draws a line. */
  now?: number
  caption: string
}

const BAR_PX = 34
const AXIS_PX = 20
const HOUR = 60

/** `HH:MM` of minutes since midnight. */
export function clockWords(minutes: number): string {
  const whole = Math.round(minutes)
  return `${String(Math.floor(whole / HOUR) % 24).padStart(2, '0')}:${String(whole % HOUR).padStart(2, '0')}`
}

/** Everyone's day as bars: a stop is a bar, the way between is a dotted line; a late one has a foot as well as the warm colour. */
export function DayBars({ rows, from, to, now, caption }: DayBarsProps) {
  const stops = rows.flatMap((row) => row.stops)
  if (stops.length === 0) return <p className="soft">Nobody is on the road.</p>
  const start = from ?? Math.floor(Math.min(...stops.map((stop) => stop.start)) / HOUR) * HOUR
  const end = to ?? Math.ceil(Math.max(...stops.map((stop) => stop.end)) / HOUR) * HOUR
  // To a thousandth: finer than any screen draws.
  const percent = (minutes: number) =>
    Math.round(Math.min(100, Math.max(0, ((minutes - start) / (end - start)) * 100)) * 10) / 10
  const every = end - start > 6 * HOUR ? 2 * HOUR : HOUR
  const hours = Array.from({ length: Math.floor((end - start) / every) + 1 }, (_, index) => start + index * every)
  return (
    <figure className="day-bars">
      <figcaption className="visually-hidden">{caption}</figcaption>
      <ul>
        {rows.map((row) => (
          <li key={row.id}>
            <h3>{row.label}</h3>
            <DayRow row={row} percent={percent} now={now} />
            <p className="soft">{row.words}</p>
          </li>
        ))}
      </ul>
      <svg className="day-hours" height={AXIS_PX} aria-hidden="true">
        {hours.map((hour, index) => (
          <text
            key={hour}
            x={`${percent(hour)}%`}
            y="14"
            textAnchor={index === 0 ? 'start' : percent(hour) > 95 ? 'end' : 'middle'}
          >
            {clockWords(hour)}
          </text>
        ))}
      </svg>
    </figure>
  )
}

function DayRow(props: { row: DayBarRow; percent: (minutes: number) => number; now: number | undefined }) {
  const { row, percent, now } = props
  const first = row.stops[0]
  const last = row.stops[row.stops.length - 1]
  return (
    // biome-ignore lint/a11y/useSemanticElements: inside a drawing there is no element for a group
    <svg className="day-row" height={BAR_PX} role="group" aria-label={`${row.label}: ${row.words}`}>
      {first && last && (
        <line className="day-way" x1={`${percent(first.start)}%`} x2={`${percent(last.end)}%`} y1="17" y2="17" />
      )}
      {row.stops.map((stop) => {
        const left = percent(stop.start)
        const width = `${Math.max(0.6, percent(stop.end) - left).toFixed(1)}%`
        const bar = (
          <>
            <title>{stop.words}</title>
            <rect className="day-stop" data-state={stop.state} x={`${left}%`} y="1" width={width} height={BAR_PX - 2} />
            {stop.state === 'late' && (
              <rect className="day-late" x={`${left}%`} y={BAR_PX - 8} width={width} height="7" />
            )}
          </>
        )
        const key = `${stop.start} ${stop.words}`
        return stop.href === undefined ? (
          <g key={key}>{bar}</g>
        ) : (
          <a key={key} href={stop.href} aria-label={stop.words}>
            {bar}
          </a>
        )
      })}
      {now !== undefined && (
        <line className="lane-today" x1={`${percent(now)}%`} x2={`${percent(now)}%`} y1="0" y2={BAR_PX} />
      )}
    </svg>
  )
}
