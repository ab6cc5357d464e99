import { dateWords, Empty } from '../paper'
import { DataTable } from '../tables'

type Row = {
  id: string
  name: string
  siteName: string
  city: string
  clientName: string
  lastVisitOn: string | null
  nextVisitOn: string | null
}

/** Tanks for what was searched; each leads to its booking form. */
export function TanksFound({
  rows,
  search,
  href,
  locale,
}: {
  rows: readonly Row[]
  search: string
  href: (tankId: string) => string
  locale: string
}) {
  const day = (date: string | null) => (date === null ? '' : dateWords({ date, style: 'date', locale }))
  if (search === '') return <Empty title="Which tank?">Search by tank, site, client or place.</Empty>
  return (
    <DataTable
      caption="Tanks found"
      captionHidden
      rows={rows}
      rowHref={(row) => href(row.id)}
      columns={[
        { key: 'tank', header: 'Tank', cell: (row) => row.name },
        {
          key: 'site',
          header: 'Site',
          cell: (row) => [row.siteName, row.city].filter((part) => part !== '').join(', '),
        },
        { key: 'client', header: 'Client', cell: (row) => row.clientName },
        { key: 'last', header: 'Last visit', cell: (row) => day(row.lastVisitOn) },
        { key: 'next', header: 'Booked', cell: (row) => day(row.nextVisitOn) },
      ]}
      empty={<Empty title="No tank in care holds those words">Try a part of the name, the street or the town.</Empty>}
    />
  )
}
