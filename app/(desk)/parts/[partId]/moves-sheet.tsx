import { DateWords, Empty, Pagination, Sheet } from '@/components/paper'
import { amount, CorrectMoveForm, moveWords } from '@/components/parts'
import { PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { correctMoveAction } from '../actions'
import type { PartView } from './part-views'

type Move = PartView['moves'][number]

/** What came, went, was used and was counted, the newest first. */
export function MovesSheet({ part }: { part: PartView }) {
  const { partId, moves, typed, locale, today, asked, areEarlierMoves } = part
  const pageOf = (page: number) => `/parts/${partId}?moves=${page}#moves`
  return (
    <Sheet title="What happened to it" id="moves">
      <DataTable
        caption="Moves, the newest first"
        captionHidden
        rows={moves}
        empty={
          <Empty title="Nothing moved yet">
            <p>What comes in, goes to a van, is used at a visit or counted stands here.</p>
          </Empty>
        }
        columns={[
          {
            key: 'on',
            header: 'Day',
            cell: ({ on }) => <DateWords date={on} style="date" locale={locale} today={today} />,
          },
          { key: 'what', header: 'What', cell: whatWords },
          { key: 'quantity', header: 'How many', numeric: true, cell: ({ quantity }) => amount(quantity, typed.unit) },
          { key: 'where', header: 'Where', cell: whereWords },
          { key: 'by', header: 'Who', cell: ({ by }) => by },
          {
            key: 'correct',
            header: 'Correct',
            bare: true,
            cell: ({ id, kind, quantity }) => {
              if (kind === 'used' || kind === 'counted') return null
              return (
                <details>
                  <summary className="small">Correct</summary>
                  <CorrectMoveForm action={correctMoveAction} moveId={id} quantity={quantity} />
                </details>
              )
            },
          },
        ]}
      />
      <Pagination
        {...(asked.moves > 1 ? { previousHref: pageOf(asked.moves - 1), previousWords: 'Later' } : {})}
        {...(areEarlierMoves ? { nextHref: pageOf(asked.moves + 1), nextWords: 'Earlier' } : {})}
      />
    </Sheet>
  )
}

function whatWords({ kind, counted, note, isCorrected, visitId, at }: Move) {
  return (
    <>
      {moveWords(kind)}
      {counted !== null && `: ${counted} there`}
      {visitId && (
        <>
          , <PageLink href={`/visits/${visitId}`}>{at}</PageLink>
        </>
      )}
      {isCorrected && <span className="soft">, corrected</span>}
      {note !== '' && <span className="soft small">, {note}</span>}
    </>
  )
}

function whereWords({ kind, from, to }: Move): string {
  if (kind === 'counted') return from ? `${from}, fewer than on paper` : to
  return [from && `from ${from}`, to && `to ${to}`].filter(Boolean).join(' ')
}
