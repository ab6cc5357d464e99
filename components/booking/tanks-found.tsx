import { ButtonLink, dateWords, Empty } from '../paper'
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

/** Tanks for what was searched, the first ones where nothing was; each leads to its booking form. */
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
  if (search === '' && rows.length === 0)
    return (
      <Empty title="No tank in care yet">
        <ButtonLink href="/tanks/new">Take on a tank</ButtonLink>
      </Empty>
    )
  return (
    <DataTable
      caption={search === '' ? 'The first tanks by site; search finds the rest' : 'Tanks found'}
      captionHidden={search !== ''}
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
