import { LanesChart, type LaneView } from '@/components/lanes'
import { Empty, Sheet, Why } from '@/components/paper'

type Repeat = { equipmentClass: string; failureMode: string; what: string; words: string; observed: number }
type Props = { lanes: readonly LaneView[]; repeats: readonly Repeat[]; tankId: string; today: string; locale: string }

const DAYS_BACK = 270
const DAYS_AHEAD = 120
const SHOWN_MAX = 14

/** The day some whole days away. */
function dayAway(day: string, days: number): string {
  return new Date(Date.parse(`${day}T00:00:00Z`) + days * 86_400_000).toISOString().slice(0, 10)
}

/**
 * The tank's life in lanes: those that call for somebody, then those with something found, then those due soonest; the
 * rest opens below. Under them what comes back here more often than on the route.
 */
export function LaneSheet({ lanes, repeats, tankId, today, locale }: Props) {
  const from = dayAway(today, -DAYS_BACK)
  const to = dayAway(today, DAYS_AHEAD)
  const weight = (lane: LaneView) => {
    if (lane.tone === 'call') return 0
    if (lane.marks.some((mark) => mark.kind === 'found' && mark.date >= from)) return 1
    return lane.due !== undefined && lane.due.date <= to ? 2 : 3
  }
  const lively = lanes
    .filter((lane) => lane.marks.length > 0 || lane.due !== undefined)
    .map((lane, place) => ({ lane, place, rank: weight(lane) }))
    .sort((a, b) => a.rank - b.rank || a.place - b.place)
    .map(({ lane }) => lane)
  const shown = lively.slice(0, SHOWN_MAX)
  const rest = lively.slice(SHOWN_MAX)
  return (
    <Sheet title="Fault history and forecast" id="lanes">
      {shown.length === 0 ? (
        <Empty title="Nothing seen yet">After the first visit each device has its lanes here.</Empty>
      ) : (
        <LanesChart
          lanes={shown}
          today={today}
          from={from}
          to={to}
          caption="What was seen and what is to come"
          locale={locale}
        />
      )}
      {rest.length > 0 && (
        <details>
          <summary>{rest.length} quieter lanes</summary>
          <LanesChart lanes={rest} today={today} from={from} to={to} caption="Quieter lanes" locale={locale} />
        </details>
      )}
      {repeats.map(({ equipmentClass, failureMode, what, words }) => (
        <Why
          key={`${equipmentClass} ${failureMode}`}
          href={`/repeat-faults/${tankId}/${encodeURIComponent(equipmentClass)}/${encodeURIComponent(failureMode)}`}
          hrefWords="See the visits"
        >
          <b>{what}</b> comes back here {words}.
        </Why>
      ))}
    </Sheet>
  )
}
