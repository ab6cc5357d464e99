import { ButtonLink, Decision, dateWords, quantityWords } from '../paper'
import { PageLink } from '../shell'

export type PartShortage = {
  partId: string
  partName: string
  unit: string
  onHand: number
  nextArrival: { on: string | null; quantity: number } | null
  orderedTodayOn: string
  expectedBefore: number
  needs: readonly { deviceLabel: string; because: 'open' | 'due' | 'chance' }[]
  visit: { visitId: string; tankName: string; siteName: string; technicianName: string; on: string }
}

type Props = { rows: readonly PartShortage[]; locale: string; today: string }

/** One decision for each part that booked visits will lack: the first such visit, and how many follow. */
export function PartsMissing({ rows, locale, today }: Props) {
  const day = (date: string) => dateWords({ date, style: 'short', locale, today })
  const firsts = rows.filter(({ partId }, place) => rows.findIndex((row) => row.partId === partId) === place)
  return (
    <>
      {firsts.map((row) => {
        const { partId, partName, visit, needs } = row
        const more = rows.filter((other) => other.partId === partId).length - 1
        return (
          <Decision
            key={partId}
            title={
              <>
                <b>Part missing</b>: <PageLink href={`/parts/${partId}`}>{partName}</PageLink> for{' '}
                <PageLink href={`/plan/visits/${visit.visitId}`}>
                  {visit.tankName}, {visit.siteName}
                </PageLink>
                , {day(visit.on)}
              </>
            }
            sub={
              <>
                {[...new Set(needs.map(({ deviceLabel }) => deviceLabel))].join(', ')}
                {visit.technicianName && `, ${visit.technicianName}`}. {stockWords(row, day)} The visit can go ahead:
                fit it next time.
                {more > 0 && ` ${more} later ${more === 1 ? 'visit lacks' : 'visits lack'} it too.`}
              </>
            }
            actions={
              <>
                {!row.nextArrival && <ButtonLink href="/parts/orders">Order</ButtonLink>}
                {(row.nextArrival || row.orderedTodayOn >= visit.on) && (
                  <ButtonLink href={`/plan/visits/${visit.visitId}`}>Move the visit</ButtonLink>
                )}
              </>
            }
          />
        )
      })}
    </>
  )
}

function stockWords(row: PartShortage, day: (date: string) => string): string {
  const { onHand, unit, expectedBefore, nextArrival, orderedTodayOn, visit } = row
  const amount = (value: number) => quantityWords(unit === 'piece' ? { value } : { value, unit })
  const has =
    onHand <= 0
      ? 'None on hand'
      : `${amount(onHand)} on hand, earlier visits are likely to take ${quantityWords({ value: expectedBefore, decimals: 0 })}`
  const inTime = orderedTodayOn < visit.on ? 'in time' : 'too late'
  if (!nextArrival) return `${has}, none on its way. Ordered today it comes ${day(orderedTodayOn)}, ${inTime}.`
  const when = nextArrival.on === null ? 'nobody knows when' : `expected ${day(nextArrival.on)}, too late`
  return `${has}; ${amount(nextArrival.quantity)} on the way, ${when}.`
}
