import type { ReactNode } from 'react'
import { ButtonLink, DateWords, Decision, Decisions, Empty } from '../paper'
import { PageLink } from '../shell'
import { DataTable } from '../tables'

type Request = {
  id: string
  words: string
  askedAt: string
  askedBy: string
  tankId: string
  tankName: string
  siteName: string
  clientName: string
}
type Answered = Request & { state: string; answer: string; visitId: string | null }
type Words = { locale: string; timeZone: string }

/** Requests that wait: book a visit, or answer in words. */
export function OpenRequests({
  rows,
  answer,
  ...words
}: { rows: readonly Request[]; answer: (requestId: string) => ReactNode } & Words) {
  if (rows.length === 0)
    return <Empty title="Nobody is waiting">What clients ask for on their own page comes in here.</Empty>
  return (
    <Decisions>
      {rows.map((row) => (
        <Decision
          key={row.id}
          title={
            <>
              <b>
                {row.tankName}, {row.siteName}
              </b>
              : “{row.words}”
            </>
          }
          sub={
            <>
              {row.askedBy === '' ? row.clientName : `${row.askedBy}, ${row.clientName}`},{' '}
              <DateWords date={row.askedAt} style="moment" {...words} />
              {answer(row.id)}
            </>
          }
          actions={
            <ButtonLink href={`/plan/book?request=${row.id}`} go>
              Book
            </ButtonLink>
          }
        />
      ))}
    </Decisions>
  )
}

/** The last requests that were dealt with, and how. */
export function AnsweredRequests({ rows, ...words }: { rows: readonly Answered[] } & Words) {
  return (
    <DataTable
      caption="Dealt with"
      captionHidden
      rows={rows}
      columns={[
        { key: 'tank', header: 'Tank', cell: (row) => `${row.tankName}, ${row.siteName}` },
        { key: 'words', header: 'Asked', cell: (row) => row.words },
        { key: 'when', header: 'When', cell: (row) => <DateWords date={row.askedAt} style="moment" {...words} /> },
        {
          key: 'how',
          header: 'What became of it',
          cell: (row) => (
            <>
              {row.visitId && <PageLink href={`/plan/visits/${row.visitId}`}>A visit</PageLink>} {row.answer}
            </>
          ),
        },
      ]}
      empty={<Empty title="None yet" />}
    />
  )
}
