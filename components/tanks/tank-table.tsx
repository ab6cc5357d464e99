import type { ReactNode } from 'react'
import { DateWords } from '@/components/paper'
import { DataTable } from '@/components/tables'

type Row = {
  id: string
  name: string
  siteName: string
  city: string
  clientName: string
  kind: string
  volume: string
  lastVisitOn: string | null
  nextVisitOn: string | null
}

/** Tanks, each with its place and when somebody was there and will be. */
export function TankTable({ rows, locale, empty }: { rows: readonly Row[]; locale: string; empty: ReactNode }) {
  const day = (date: string | null) => date && <DateWords date={date} style="date" locale={locale} />
  return (
    <DataTable
      caption="Tanks"
      captionHidden
      rows={rows}
      empty={empty}
      rowHref={(tank) => `/tanks/${tank.id}`}
      columns={[
        { key: 'name', header: 'Tank', cell: (tank) => tank.name, width: '20%' },
        {
          key: 'site',
          header: 'Site',
          cell: (tank) => (tank.city === '' ? tank.siteName : `${tank.siteName}, ${tank.city}`),
          width: '24%',
        },
        { key: 'client', header: 'Client', cell: (tank) => tank.clientName, width: '20%' },
        { key: 'kind', header: 'Kind', cell: (tank) => tank.kind },
        { key: 'volume', header: 'Volume', cell: (tank) => tank.volume, numeric: true },
        { key: 'last', header: 'Last seen', cell: (tank) => day(tank.lastVisitOn) },
        { key: 'next', header: 'Next', cell: (tank) => day(tank.nextVisitOn) },
      ]}
    />
  )
}
