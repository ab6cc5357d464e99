import { area, curveMonotoneX } from 'd3-shape'
import { type ReactNode, useId } from 'react'
import { dateWords } from '../paper/date-words'
import { KIND_WORDS, type LaneBandPoint, type LaneMark, type LaneView, MARK_KINDS, type MarkKind } from './lane-view'
import { laneSummary } from './lane-words'
import { MarkShape } from './mark-shape'
import { olderMarks } from './older-marks'
import type { TimeAxis } from './time-axis'

const TRACK_PX = 46
const MIDDLE = TRACK_PX / 2
const BAND_HALF_PX = 15
/** Width of the band's own coordinates, which are stretched over the track; its height is not. */
const BAND_UNITS = 1000

const percentWords = (value: number) => `${Number(value.toFixed(2))}%`
const within = (value: number) => Math.min(100, Math.max(0, value))

/** The drawing of one lane. Widths are percentages and heights px, so lines and shapes keep their size on every screen. */
export function LaneTrack(props: {
  lane: LaneView
  axis: TimeAxis
  today: string
  locale: string
  /** Id of the shape of a kind of mark; see `MarkShapes`. */
  shapeId: (kind: MarkKind) => string
}) {
  const { lane, axis, today, locale, shapeId } = props
  const titleId = useId()
  const descId = useId()
  const now = within(axis.percent(today))
  const older = olderMarks(lane.marks.filter((mark) => axis.contains(mark.date)))
  const inOrder = MARK_KINDS.flatMap((kind) =>
    lane.marks.filter((mark) => mark.kind === kind && axis.contains(mark.date)),
  )
  const marks = inOrder.filter((mark) => !older.has(mark))
  const olderLooks = inOrder.filter((mark) => older.has(mark) && mark.kind === 'looked')
  const olderRenewed = inOrder.filter((mark) => older.has(mark) && mark.kind === 'renewed')
  const olderOthers = inOrder.filter((mark) => older.has(mark) && mark.kind !== 'looked' && mark.kind !== 'renewed')
  return (
    // biome-ignore lint/a11y/useSemanticElements: inside a drawing there is no element for a group
    <svg
      className="lane-track"
      height={TRACK_PX}
      role="group"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: one stop per lane lets the keyboard read each lane's summary
      tabIndex={0}
      aria-labelledby={titleId}
      aria-describedby={descId}
    >
      <title id={titleId}>{lane.label}</title>
      <desc id={descId}>{laneSummary(lane, locale)}</desc>
      <g>
        <Grid axis={axis} />
        <line className="lane-past" x1="0%" x2={percentWords(now)} y1={MIDDLE} y2={MIDDLE} />
        <line className="lane-future" x1={percentWords(now)} x2="100%" y1={MIDDLE} y2={MIDDLE} />
        {lane.runningSince !== undefined && (
          <line
            className="lane-running"
            x1={percentWords(within(axis.percent(lane.runningSince)))}
            x2={percentWords(now)}
            y1={MIDDLE}
            y2={MIDDLE}
          />
        )}
        <Strokes className="mark-looked" marks={olderLooks} halfPx={4.5} axis={axis} />
        <Strokes className="mark-renewed" marks={olderRenewed} halfPx={11} axis={axis} />
        {lane.band !== undefined && <Band points={lane.band} axis={axis} />}
        {axis.contains(today) && (
          <line className="lane-today" x1={percentWords(now)} x2={percentWords(now)} y1="0" y2={TRACK_PX} />
        )}
        {lane.due !== undefined && axis.contains(lane.due.date) && (
          <At percent={axis.percent(lane.due.date)}>
            <path className="mark-due" d={`M-5.5 ${1 - MIDDLE}H5.5L0 ${9 - MIDDLE}ZM0 ${9 - MIDDLE}V0`} />
          </At>
        )}
      </g>
      {olderOthers.map((mark, index) => (
        <use
          // biome-ignore lint/suspicious/noArrayIndexKey: two equal marks on a day differ by their order alone
          key={index}
          href={`#${shapeId(mark.kind)}`}
          x={percentWords(axis.percent(mark.date))}
          y={MIDDLE}
        />
      ))}
      {marks.map((mark, index) => (
        <Mark
          // biome-ignore lint/suspicious/noArrayIndexKey: two equal marks on a day differ by their order alone
          key={`${mark.date} ${mark.kind} ${index}`}
          mark={mark}
          shift={shiftPx(mark, marks)}
          percent={axis.percent(mark.date)}
          locale={locale}
        />
      ))}
    </svg>
  )
}

/** Classes that show a tick in the widths it is meant for. */
export function tickClass(base: string, tick: { narrow: boolean; wide: boolean }): string {
  return [base, tick.narrow && 'on-narrow', tick.wide && 'on-wide'].filter(Boolean).join(' ')
}

function At({ percent, children }: { percent: number; children: ReactNode }) {
  return (
    // biome-ignore lint/a11y/noSvgWithoutTitle: only moves the origin; what it holds has its own title
    <svg x={percentWords(percent)} y={MIDDLE} className="lane-at">
      {children}
    </svg>
  )
}

/** Found and renewed on one day stand side by side, in the order in which it happened. */
function shiftPx(mark: LaneMark, marks: readonly LaneMark[]): number {
  const beside = (kind: LaneMark['kind']) => marks.some((other) => other.kind === kind && other.date === mark.date)
  if (mark.kind === 'found' && beside('renewed')) return -4.5
  return mark.kind === 'renewed' && beside('found') ? 4.5 : 0
}

type MarkProps = { mark: LaneMark; percent: number; shift: number; locale: string }

function Mark({ mark, percent, shift, locale }: MarkProps) {
  const words = markWords(mark, locale)
  const drawn = (
    <>
      <title>{words}</title>
      {/* Wider than the shape: a fingertip, or a pointer that is not quite steady. */}
      <rect className="lane-hit" x="-12" y={-MIDDLE} width="24" height={TRACK_PX} />
      <g transform={shift === 0 ? undefined : `translate(${shift})`}>
        <MarkShape kind={mark.kind} />
      </g>
    </>
  )
  return (
    <At percent={percent}>
      {mark.href === undefined ? (
        <g>{drawn}</g>
      ) : (
        // Looks that found nothing are many; the keyboard reaches them in the table and need not walk through all of them here.
        <a href={mark.href} aria-label={words} tabIndex={mark.kind === 'looked' ? -1 : undefined}>
          {drawn}
        </a>
      )}
    </At>
  )
}

function markWords(mark: LaneMark, locale: string): string {
  return `${dateWords({ date: mark.date, style: 'date', locale })}, ${KIND_WORDS[mark.kind]}: ${mark.words}`
}

/** The months behind a lane, those of a kind as one path. */
function Grid({ axis }: { axis: TimeAxis }) {
  const classes = [...new Set(axis.ticks.map((tick) => tickClass('lane-grid', tick)))]
  return (
    // biome-ignore lint/a11y/noSvgWithoutTitle: part of the lane's drawing, which has the title
    <svg
      className="lane-at"
      width="100%"
      height={TRACK_PX}
      viewBox={`0 0 ${BAND_UNITS} ${TRACK_PX}`}
      preserveAspectRatio="none"
    >
      {classes.map((name) => (
        <path
          key={name}
          className={name}
          vectorEffect="non-scaling-stroke"
          d={axis.ticks
            .filter((tick) => tickClass('lane-grid', tick) === name)
            .map(({ at }) => `M${((at / 100) * BAND_UNITS).toFixed(1)} 0v${TRACK_PX}`)
            .join('')}
        />
      ))}
    </svg>
  )
}

type StrokesProps = { className: string; marks: readonly LaneMark[]; halfPx: number; axis: TimeAxis }

/** Many upright marks as one path: each with its own words and link would weigh more than all the rest. */
function Strokes({ className, marks, halfPx, axis }: StrokesProps) {
  if (marks.length === 0) return null
  const at = (date: string) => ((axis.percent(date) / 100) * BAND_UNITS).toFixed(1)
  return (
    // biome-ignore lint/a11y/noSvgWithoutTitle: part of the lane's drawing, which has the title
    <svg width="100%" height={TRACK_PX} viewBox={`0 0 ${BAND_UNITS} ${TRACK_PX}`} preserveAspectRatio="none">
      <path
        className={className}
        vectorEffect="non-scaling-stroke"
        d={marks.map(({ date }) => `M${at(date)} ${MIDDLE - halfPx}v${2 * halfPx}`).join('')}
      />
    </svg>
  )
}

function Band({ points, axis }: { points: readonly LaneBandPoint[]; axis: TimeAxis }) {
  const half = (point: LaneBandPoint) => BAND_HALF_PX * Math.min(1, Math.max(0, point.probability))
  const shape = area<LaneBandPoint>()
    .x((point) => (axis.percent(point.date) / 100) * BAND_UNITS)
    .y0((point) => MIDDLE + half(point))
    .y1((point) => MIDDLE - half(point))
    .curve(curveMonotoneX)
    .digits(1)
  return (
    // biome-ignore lint/a11y/noSvgWithoutTitle: part of the lane's drawing, which has the title
    <svg width="100%" height={TRACK_PX} viewBox={`0 0 ${BAND_UNITS} ${TRACK_PX}`} preserveAspectRatio="none">
      <path className="lane-band" d={shape([...points]) ?? ''} />
    </svg>
  )
}
