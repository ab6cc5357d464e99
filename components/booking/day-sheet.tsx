import { DayBars } from '../charts'
import { dateWords, Sheet, Stop, Stops } from '../paper'
import { type PlanVisit, spanWords, stateWords, timeWords } from './plan-view'

type Props = {
  day: { date: string; name: string; visits: readonly PlanVisit[] } | null
  /** The visit being moved: it is in the day, but not in its own way. */
  exceptVisitId?: string
  locale: string
}

/** One technician's day, beside the form in which it is planned. */
export function DaySheet({ day, exceptVisitId, locale }: Props) {
  if (!day)
    return (
      <Sheet title="Their day">
        <p className="soft">Choose who goes, and their day stands here.</p>
      </Sheet>
    )
  const others = day.visits.filter((visit) => visit.id !== exceptVisitId)
  const timed = others.flatMap(({ startMinute, endMinute, ...visit }) =>
    startMinute === null || endMinute === null ? [] : [{ ...visit, startMinute, endMinute }],
  )
  const words = others.length === 0 ? 'Nothing else booked.' : `${countWords(others.length)} booked.`
  const date = dateWords({ date: day.date, style: 'day', locale })
  return (
    <Sheet title={`${day.name}, ${date}`}>
      {timed.length > 0 ? (
        <DayBars
          caption={`The day of ${day.name} on ${date}`}
          rows={[
            {
              id: 'day',
              label: 'Planned',
              words,
              stops: timed.map((visit) => ({
                start: visit.startMinute,
                end: visit.endMinute,
                state: visit.state === 'done' ? ('done' as const) : ('planned' as const),
                words: `${visit.tankName}, ${visit.siteName}, ${timeWords(visit)}`,
                href: `/plan/visits/${visit.id}`,
              })),
            },
          ]}
        />
      ) : (
        <p className="soft">{words}</p>
      )}
      <Stops>
        {others.map((visit) => (
          <Stop
            key={visit.id}
            time={visit.start}
            place={`${visit.tankName}, ${visit.siteName}`}
            sub={[
              timeWords(visit),
              visit.plannedMinutes === null ? '' : spanWords(visit.plannedMinutes),
              stateWords(visit),
            ]
              .filter((part) => part !== '')
              .join(' · ')}
            state={visit.state === 'done' ? 'done' : 'ahead'}
          />
        ))}
      </Stops>
    </Sheet>
  )
}

function countWords(count: number): string {
  return count === 1 ? 'One other visit' : `${count} other visits`
}
