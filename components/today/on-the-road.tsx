import { spanWords } from '../booking/plan-view'
import { DayBars } from '../charts'
import { ButtonLink, Empty, Sheet } from '../paper'
import { PageLink } from '../shell'
import { countWords } from './today-view'

type RoadStop = {
  id: string
  tankName: string
  siteName: string
  state: string
  course: 'planned' | 'now' | 'done' | 'late'
  start: string
  windowStart: string
  windowEnd: string
  fromMinute: number | null
  toMinute: number | null
  minutesOver: number
}
type Road = { technicianId: string; name: string; stops: readonly RoadStop[] }

/** Of many roads those are drawn on which somebody is late first; the others are a line each. */
const ROADS_DRAWN = 4
const lateStops = ({ stops }: Road) => stops.filter(({ course }) => course === 'late').length

/** Today's stops per technician as bars, with how each day goes in a sentence, and the stops as a list behind it. */
export function OnTheRoad({ roads: all, nowMinute }: { roads: readonly Road[]; nowMinute: number }) {
  const roads =
    all.length > ROADS_DRAWN ? all.toSorted((a, b) => lateStops(b) - lateStops(a)).slice(0, ROADS_DRAWN) : all
  const others = all.filter((road) => !roads.includes(road))
  const isTimed = roads.some((road) => road.stops.some((stop) => stop.fromMinute !== null))
  return (
    <Sheet title="On the road">
      {roads.length === 0 && (
        <Empty title="Nobody is on the road today">
          <ButtonLink href="/plan">Plan</ButtonLink>
        </Empty>
      )}
      {isTimed && (
        <DayBars
          caption="Today’s stops per technician"
          now={nowMinute}
          rows={roads.map((road) => ({
            id: road.technicianId,
            label: road.name,
            words: roadWords(road),
            stops: road.stops.flatMap((stop) =>
              stop.fromMinute === null || stop.toMinute === null
                ? []
                : [
                    {
                      start: stop.fromMinute,
                      end: stop.toMinute,
                      state: stop.course,
                      words: `${stop.tankName}, ${stop.siteName}: ${courseWords(stop)}`,
                      href: `/plan/visits/${stop.id}`,
                    },
                  ],
            ),
          }))}
        />
      )}
      {others.length > 0 && (
        <ul>
          {others.map((road) => (
            <li key={road.technicianId}>
              <PageLink href={`/route?technician=${road.technicianId}`}>{road.name}</PageLink>: {roadWords(road)}
            </li>
          ))}
        </ul>
      )}
      {roads.length > 0 && (
        <details>
          <summary>Stop by stop</summary>
          {roads.map((road) => (
            <div key={road.technicianId}>
              <h3>{road.name}</h3>
              {!isTimed && <p className="soft">{roadWords(road)}</p>}
              <ol>
                {road.stops.map((stop) => (
                  <li key={stop.id}>
                    <PageLink href={`/plan/visits/${stop.id}`}>
                      {stop.tankName}, {stop.siteName}
                    </PageLink>{' '}
                    <span className="soft">
                      {stop.start === '' ? 'no time yet' : stop.start}, {courseWords(stop)}
                    </span>
                  </li>
                ))}
              </ol>
            </div>
          ))}
        </details>
      )}
    </Sheet>
  )
}

/** How one technician's day goes. */
function roadWords({ technicianId, stops }: Road): string {
  const late = stops.filter((stop) => stop.course === 'late')
  const done = stops.filter((stop) => stop.course === 'done').length
  const untimed = stops.filter((stop) => stop.fromMinute === null).length
  const untimedWords = untimed === 0 ? '' : ` ${untimed} without a time yet.`
  const counts = `${countWords(stops.length, 'stop')}, ${done} done.${untimedWords}`
  if (technicianId === '') return `${counts} Say who goes.`
  const first = late[0]
  if (first) return `${counts} ${first.tankName}, ${first.siteName}: ${courseWords(first)}.`
  return done === stops.length ? `${counts} Home.` : `${counts} On time.`
}

function courseWords({ course, state, minutesOver }: RoadStop): string {
  if (course === 'late')
    return state === 'booked'
      ? `should have ended ${spanWords(minutesOver)} ago, nobody there yet`
      : `${spanWords(minutesOver)} longer than planned, still there`
  if (course === 'now') return 'there now'
  if (course === 'done') return minutesOver >= 10 ? `done, ${spanWords(minutesOver)} longer than planned` : 'done'
  return 'ahead'
}
