import { DateWords } from '../paper/date-words'
import { KIND_WORDS, type LaneView } from './lane-view'
import { bandWords } from './lane-words'
import { olderMarks } from './older-marks'
import type { TimeAxis } from './time-axis'

/** The chart as tables: one row per mark, and one per lane for what runs and what comes. Nothing is in the drawing alone. */
export function LanesTable(props: { lanes: readonly LaneView[]; axis: TimeAxis; caption: string; locale: string }) {
  const { lanes, axis, caption, locale } = props
  const within = lanes.map((lane) => ({ lane, marks: lane.marks.filter((mark) => axis.contains(mark.date)) }))
  const older = new Set(within.flatMap((one) => [...olderMarks(one.marks)]))
  const marks = within.flatMap(({ lane, marks: ofLane }) =>
    ofLane
      .filter((mark) => !older.has(mark))
      .sort((a, b) => a.date.localeCompare(b.date))
      .map((mark) => ({ lane, mark })),
  )
  return (
    <details className="behind">
      <summary>Show as a table</summary>
      <table className="lanes-ahead">
        <caption>{caption}: what runs and what comes</caption>
        <thead>
          <tr>
            <th scope="col">Lane</th>
            <th scope="col">Running since</th>
            <th scope="col">Due</th>
            <th scope="col">Next need</th>
          </tr>
        </thead>
        <tbody>
          {lanes.map((lane) => (
            <tr key={lane.id}>
              <th scope="row">{lane.label}</th>
              <td>
                {lane.runningSince ? <DateWords date={lane.runningSince} style="date" locale={locale} /> : 'not known'}
              </td>
              <td>{lane.due?.words ?? 'no day set'}</td>
              <td>{bandWords(lane, locale) ?? 'no estimate'}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <table className="lanes-marks">
        <caption>{caption}: what was seen and done</caption>
        <thead>
          <tr>
            <th scope="col">Lane</th>
            <th scope="col">Day</th>
            <th scope="col">What</th>
            <th scope="col">In words</th>
          </tr>
        </thead>
        <tbody>
          {marks.map(({ lane, mark }, index) => (
            // Rows are never reordered, and two marks may be equal in everything.
            // biome-ignore lint/suspicious/noArrayIndexKey: see above
            <tr key={index}>
              <th scope="row">{lane.label}</th>
              <td>
                <DateWords date={mark.date} style="date" locale={locale} />
              </td>
              <td>{KIND_WORDS[mark.kind]}</td>
              <td>{mark.href === undefined ? mark.words : <a href={mark.href}>{mark.words}</a>}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {older.size > 0 && (
        <p className="soft small">
          {older.size === 1 ? 'One older mark is' : `${older.size} older marks are`} drawn but not listed.
        </p>
      )}
    </details>
  )
}
