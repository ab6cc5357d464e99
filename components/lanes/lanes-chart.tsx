import { useId } from 'react'
import { PageLink } from '../shell/page-link'
import { LaneTrack } from './lane-track'
import type { LaneView, MarkKind } from './lane-view'
import { LanesAxis } from './lanes-axis'
import { LanesLegend } from './lanes-legend'
import { LanesTable } from './lanes-table'
import { MarkShapes } from './mark-shape'
import { timeAxis } from './time-axis'

export type LanesChartProps = {
  lanes: readonly LaneView[]
  /** The business's own day, `2026-11-25`. */
  today: string
  /** First and last day of the chart; what lies outside is neither drawn nor listed. */
  from: string
  to: string
  /** What the chart shows, in a few words. */
  caption: string
  /** What the swelling band means, in the legend. */
  unitWords?: string
  locale?: string
  /** Leave the table out where the page has its own. */
  withoutTable?: boolean
}

/**
 * Time from left to right, one lane per thing: what was seen and done as marks, what is to come as a band that swells where work is
 * most likely. Rendered on the server, needs no script. Throws RangeError when `to` is not after `from` or a date is none.
 */
export function LanesChart(props: LanesChartProps) {
  const { lanes, today, from, to, caption, locale = 'en-GB', withoutTable = false } = props
  const unitWords = props.unitWords ?? 'when it will next need work'
  const axis = timeAxis(from, to, locale)
  const chartId = useId()
  const shapeId = (kind: MarkKind) => `${chartId}${kind}`
  const withDue = lanes.some((lane) => lane.due !== undefined)
  return (
    <figure className="lanes" data-due={withDue || undefined}>
      <figcaption className="visually-hidden">{caption}</figcaption>
      <MarkShapes shapeId={shapeId} />
      <LanesAxis axis={axis} today={today} locale={locale} />
      <ol className="lanes-list">
        {lanes.map((lane) => (
          <li className="lane" key={lane.id} data-tone={lane.tone}>
            <div className="lane-label">
              {lane.href === undefined ? lane.label : <PageLink href={lane.href}>{lane.label}</PageLink>}
              {lane.sub !== undefined && <span className="lane-sub">{lane.sub}</span>}
            </div>
            {withDue && <div className="lane-due">{lane.due?.words}</div>}
            <LaneTrack lane={lane} axis={axis} today={today} locale={locale} shapeId={shapeId} />
          </li>
        ))}
      </ol>
      <LanesLegend lanes={lanes} unitWords={unitWords} />
      {!withoutTable && <LanesTable lanes={lanes} axis={axis} caption={caption} locale={locale} />}
    </figure>
  )
}
