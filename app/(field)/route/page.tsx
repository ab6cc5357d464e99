import { z } from 'zod'
import { visitCommandAction } from '@/app/(field)/visits/actions'
import { SelectField, SubmitButton } from '@/components/forms'
import { ButtonLink, dateWords, Empty, Sheet, Stop, Stops } from '@/components/paper'
import { LoadLines } from '@/components/parts'
import { PageHead } from '@/components/shell'
import { OUTCOME_WORDS, VisitForm } from '@/components/visits'
import { requireActor } from '@/lib/office/people/session'
import { findRoute } from '@/lib/office/visits/queries'

export const metadata = { title: 'Today’s route' }

const askedSchema = z.object({
  technician: z.uuid().optional().catch(undefined),
  day: z.iso.date().optional().catch(undefined),
})

export default async function RoutePage({
  searchParams,
}: {
  searchParams: Promise<Record<string, string | string[]>>
}) {
  const actor = await requireActor('route.read')
  const asked = askedSchema.parse(await searchParams)
  const route = await findRoute(actor, { technicianId: asked.technician, day: asked.day }, new Date())
  const { stops, technicians, day, today, locale } = route
  const open = stops.filter(({ state }) => state !== 'done')
  const next = stops.find(({ state }) => state === 'under_way') ?? open[0]
  const isToday = day === today
  const count = stops.length === 1 ? '1 stop' : `${stops.length} stops`
  const lacks = stops.some(({ lacking }) => lacking.length > 0)
  const sub =
    stops.length === 0 ? undefined : open.length === 0 ? `${count}, all done` : `${count}, ${open.length} to go`
  return (
    <>
      <PageHead
        title={dateWords({ date: day, style: 'day', locale })}
        sub={sub}
        actions={<ButtonLink href="/calls">Somebody rings</ButtonLink>}
      />
      {technicians.length > 1 && (
        <form method="get">
          <SelectField
            name="technician"
            label="Whose route"
            defaultValue={route.technicianId}
            options={technicians.map(({ id, name }) => ({ value: id, label: name }))}
          />
          <SubmitButton plain>Show</SubmitButton>
        </form>
      )}
      {route.load && route.load.lines.length > 0 && open.length > 0 && (
        <Sheet title="Load the van" {...(lacks ? { tone: 'call' as const } : {})}>
          <details open={!stops.some(({ state }) => state !== 'booked')}>
            <summary>{loadWords(route.load.lines)}</summary>
            <LoadLines lines={route.load.lines} locale={locale} today={today} />
            <p>
              <a href={`/parts/count/${route.load.vanId}`}>Count {route.load.vanName}</a>
            </p>
          </details>
        </Sheet>
      )}
      {route.notDone.length > 0 && (
        <Sheet title="Not done" tone="call">
          <ul>
            {route.notDone.map(({ visitId, begun, date, clientName, siteName, tankName }) => (
              <li key={visitId}>
                <a href={`/visits/${visitId}`}>
                  <b>{clientName === siteName ? clientName : `${clientName}, ${siteName}`}</b>, {tankName}
                </a>
                : {begun ? 'begun' : 'booked for'} {dateWords({ date, style: 'day', locale })},{' '}
                {begun ? 'not ended' : 'nothing logged'}.
              </li>
            ))}
          </ul>
        </Sheet>
      )}
      {stops.length === 0 ? (
        <Empty title="Nothing is planned">A visit that is not planned is logged on the tank’s page.</Empty>
      ) : (
        <Stops>
          {stops.map((stop) => {
            const isNow = isToday && stop.visitId === next?.visitId
            const place = stop.clientName === stop.siteName ? stop.clientName : `${stop.clientName}, ${stop.siteName}`
            return (
              <Stop
                key={stop.visitId}
                time={stop.time || '–'}
                state={stop.state === 'done' ? 'done' : isNow ? 'now' : 'ahead'}
                place={
                  <a href={`/visits/${stop.visitId}`}>
                    <b>{place}</b>, {stop.tankName}
                  </a>
                }
                sub={stop.state === 'done' ? outcomeWords(stop.outcome) : stop.address}
                actions={
                  isNow &&
                  (stop.state === 'booked' ? (
                    <VisitForm
                      action={visitCommandAction}
                      kind="visit.arrive"
                      visitId={stop.visitId}
                      submit="Arrive"
                      big
                      next=""
                    />
                  ) : (
                    <a className="button go big" href={`/visits/${stop.visitId}/look`}>
                      Go on
                    </a>
                  ))
                }
              >
                {stop.state !== 'done' && (
                  <>
                    {stop.accessNote && <p>{stop.accessNote}</p>}
                    {stop.dangerousAnimals && <p className="call">Animals that can hurt: {stop.dangerousAnimals}</p>}
                    {stop.whatFor && <p>{stop.whatFor}</p>}
                    {stop.remark && <p>“{stop.remark}”</p>}
                    {stop.lacking.map((words) => (
                      <p key={words} className="call">
                        {words}
                      </p>
                    ))}
                    {stop.due.length > 0 && (
                      <details>
                        <summary>
                          <b>{stop.due.length} due</b>
                        </summary>
                        <ul>
                          {stop.due.map((words) => (
                            <li key={words}>{words}</li>
                          ))}
                        </ul>
                      </details>
                    )}
                  </>
                )}
              </Stop>
            )
          })}
        </Stops>
      )}
    </>
  )
}

/** "3 to load, 1 missing" or that all is there. */
function loadWords(lines: readonly { fromShelf: number; missing: number }[]): string {
  const loads = lines.filter(({ fromShelf }) => fromShelf > 0).length
  const missing = lines.filter((line) => line.missing > 0).length
  if (loads + missing === 0) return 'All that the day is likely to use is on the van'
  return [loads > 0 && `${loads} to load`, missing > 0 && `${missing} missing`].filter(Boolean).join(', ')
}

function outcomeWords(outcome: string | null): string {
  const known = (['done', 'cut_short', 'no_access'] as const).find((word) => word === outcome)
  return known ? OUTCOME_WORDS[known] : 'done'
}
