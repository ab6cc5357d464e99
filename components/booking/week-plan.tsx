import { dateWords, Empty, Sheet } from '../paper'
import { PageLink } from '../shell'
import { type PlanVisit, spanWords, stateWords, timeWords } from './plan-view'

export type WeekPlanRow = {
  technicianId: string
  name: string
  plannedMinutes: number
  days: readonly { date: string; count: number; visits: readonly PlanVisit[] }[]
}

type Props = {
  rows: readonly WeekPlanRow[]
  today: string
  locale: string
  /** Where the visits of one technician are named, where this page only counts them. */
  hrefOf?: ((technicianId: string) => string) | undefined
}

/** A week, a sheet per technician: days as columns on the desk, one under the other on a phone. */
export function WeekPlan({ rows, today, locale, hrefOf }: Props) {
  return (
    <div className="stack">
      {rows.map((row) => (
        <TechnicianWeek key={row.technicianId} row={row} today={today} locale={locale} hrefOf={hrefOf} />
      ))}
    </div>
  )
}

function TechnicianWeek({ row, today, locale, hrefOf }: Omit<Props, 'rows'> & { row: WeekPlanRow }) {
  const count = row.days.reduce((sum, day) => sum + day.count, 0)
  const isNobody = row.technicianId === ''
  return (
    <Sheet title={row.name} {...(isNobody ? { tone: 'call' as const } : {})}>
      {count === 0 ? (
        <Empty title="Nothing booked this week" />
      ) : (
        <>
          <p className="soft">
            {count === 1 ? 'One visit' : `${count} visits`}, {spanWords(row.plannedMinutes)} excluding travel.
            {isNobody ? ' Open each to say who goes.' : ''}
          </p>
          <ol className="week-days">
            {row.days.map((day) => (
              <li
                key={day.date}
                className="week-day"
                data-today={day.date === today || undefined}
                data-empty={day.count === 0 || undefined}
              >
                <h3>{dateWords({ date: day.date, style: 'short', locale })}</h3>
                {hrefOf && day.count > 0 && (
                  <p>
                    <PageLink href={hrefOf(row.technicianId)}>
                      {day.count === 1 ? 'One visit' : `${day.count} visits`}
                    </PageLink>
                  </p>
                )}
                <ul>
                  {day.visits.map((visit) => (
                    <li key={visit.id}>
                      <VisitLink visit={visit} />
                    </li>
                  ))}
                </ul>
              </li>
            ))}
          </ol>
        </>
      )}
    </Sheet>
  )
}

function VisitLink({ visit }: { visit: PlanVisit }) {
  const state = stateWords(visit)
  return (
    <PageLink className="week-visit" href={`/plan/visits/${visit.id}`} data-state={visit.state}>
      <span className="small soft">{timeWords(visit)}</span>
      <b>{visit.tankName}</b>
      <span className="small">{visit.siteName}</span>
      {visit.windowStart !== '' && (
        <span className="small soft">
          promised {visit.windowStart}–{visit.windowEnd}
        </span>
      )}
      {state !== '' && (
        <span className={visit.notDone || (visit.outcome && visit.outcome !== 'done') ? 'small call' : 'small soft'}>
          {state}
        </span>
      )}
    </PageLink>
  )
}
