import { ButtonLink, Decision, dateWords } from '../paper'
import { withoutLabel } from '../refills/refill-sheet'
import { PageLink } from '../shell'
import { bookHref } from './today-view'

export type ShortRefill = {
  reservoirId: string
  tankId: string
  tankName: string
  siteName: string
  label: string
  words: string
  nextVisit: { visitId: string | null; on: string; movedFrom: string | null }
  becauseMoved: boolean
}

/** Containers that will not last until the next visit, each with what can be done about it. */
export function ShortRefills(props: { refills: readonly ShortRefill[]; locale: string; today: string }) {
  const { refills, locale, today } = props
  const day = (date: string) => dateWords({ date, style: 'short', locale, today })
  return refills.map(({ reservoirId, tankId, tankName, siteName, label, words, nextVisit, becauseMoved }) => (
    <Decision
      key={reservoirId}
      title={
        <>
          <b>Refill</b>: <PageLink href={`/tanks/${tankId}/refills/${reservoirId}`}>{label}</PageLink>, {tankName},{' '}
          {siteName}
        </>
      }
      sub={
        <>
          {becauseMoved && nextVisit.movedFrom !== null && (
            <span className="call">
              Visit moved from {day(nextVisit.movedFrom)} to {day(nextVisit.on)}.{' '}
            </span>
          )}
          {withoutLabel(words, label)}
        </>
      }
      actions={
        nextVisit.visitId === null ? (
          <ButtonLink href={bookHref(tankId, 'routine', `${label} runs out`)}>Book</ButtonLink>
        ) : (
          <ButtonLink href={`/plan/visits/${nextVisit.visitId}`}>Move the visit</ButtonLink>
        )
      }
    />
  ))
}
