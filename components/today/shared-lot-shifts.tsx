import { ButtonLink, Decision } from '../paper'
import { PageLink } from '../shell'

export type SharedLotShift = { lotId: string; label: string; kindWords: string; words: string }

/** Lots in use whose tanks moved together: keep using it, or not. Lines of the list of decisions. */
export function SharedLotShifts({ shifts }: { shifts: readonly SharedLotShift[] }) {
  return shifts.map((shift) => (
    <Decision
      key={`${shift.lotId} ${shift.words}`}
      title={
        <>
          <b>{shift.kindWords}</b>, <PageLink href={`/parts/lots/${shift.lotId}`}>lot {shift.label}</PageLink>:{' '}
          {shift.words}
        </>
      }
      sub="Keep using it, or take it out of use until it is measured."
      actions={<ButtonLink href={`/parts/lots/${shift.lotId}`}>Look at it</ButtonLink>}
    />
  ))
}
