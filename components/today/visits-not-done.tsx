import { ButtonLink, Decision, dateWords } from '../paper'

export type NotDone = {
  begun: boolean
  visitId: string
  tankName: string
  siteName: string
  clientName: string
  date: string
  technician: string
}

type Props = { visits: readonly NotDone[]; total: number; locale: string; today: string }

/** Visits whose day went by with nothing logged, or that nobody has ended, each with what settles it. */
export function VisitsNotDone({ visits, total, locale, today }: Props) {
  const day = (date: string) => dateWords({ date, style: 'short', locale, today })
  return (
    <>
      {visits.map(({ visitId, begun, tankName, siteName, clientName, date, technician }) => (
        <Decision
          key={visitId}
          title={
            <>
              <b>{begun ? 'Not ended' : 'Not done'}</b>: {tankName}, {siteName}
            </>
          }
          sub={
            begun
              ? `Begun on ${day(date)}${technician === '' ? '' : `, ${technician}`}. Nobody has said that it is over, so it is not billed, and what was switched off may still be off.`
              : `Booked for ${day(date)}${technician === '' ? '' : `, ${technician}`}. Nothing was logged, so the tank is due again. ${clientName} may be waiting.`
          }
          actions={
            begun ? (
              <ButtonLink href={`/visits/${visitId}/leave`}>End it</ButtonLink>
            ) : (
              <>
                <ButtonLink href={`/visits/${visitId}`}>Log it</ButtonLink>
                <ButtonLink href={`/plan/visits/${visitId}`}>Move or cancel</ButtonLink>
              </>
            )
          }
        />
      ))}
      {total > visits.length && (
        <Decision
          title={
            <>
              <b>Not done</b>: {total - visits.length} more
            </>
          }
          sub="They come in here as those above are settled."
        />
      )}
    </>
  )
}
