import type { ReactNode } from 'react'
import { DataTable } from '@/components/tables'

type Row = { id: string; name: string; email: string; phone: string; sites: number; tanks: number; isArchived: boolean }

/** Clients, each with what it has with us. */
export function ClientTable({ rows, empty }: { rows: readonly Row[]; empty: ReactNode }) {
  return (
    <DataTable
      caption="Clients"
      captionHidden
      rows={rows}
      empty={empty}
      rowHref={(client) => `/clients/${client.id}`}
      columns={[
        { key: 'name', header: 'Client', cell: (client) => client.name, width: '34%' },
        { key: 'sites', header: 'Sites', cell: (client) => client.sites, numeric: true },
        { key: 'tanks', header: 'Tanks', cell: (client) => client.tanks, numeric: true },
        { key: 'email', header: 'E-mail', cell: (client) => client.email },
        { key: 'phone', header: 'Phone', cell: (client) => client.phone },
      ]}
    />
  )
}
