import type { ReactNode } from 'react'
import { DateWords } from '@/components/paper'
import { type Column, DataTable } from '@/components/tables'
import type { ImportSummary, Writing } from '@/lib/office/old-records/result'

const number = (count: number) => count.toLocaleString('en-GB')

const columns = (writing: Writing): readonly Column<ImportSummary>[] => [
  { key: 'when', header: 'Brought', cell: (row) => <DateWords date={row.createdAt} style="date" {...writing} /> },
  { key: 'files', header: 'Files', cell: (row) => row.fileNames.join(', ') },
  { key: 'by', header: 'By', cell: (row) => row.broughtBy },
  { key: 'tanks', header: 'Tanks', cell: (row) => number(row.added.tanks), numeric: true },
  { key: 'visits', header: 'Rows of visits', cell: (row) => number(row.added.visits), numeric: true },
  { key: 'rejected', header: 'Wrong lines', cell: (row) => number(row.rejected), numeric: true },
  { key: 'state', header: 'Now', cell: (row) => (row.withdrawnAt === null ? 'In' : 'Taken back') },
]

/** The imports of a business, each a way to its report. */
export function ImportsTable({
  imports,
  writing,
  empty,
}: {
  imports: readonly ImportSummary[]
  writing: Writing
  empty: ReactNode
}) {
  return (
    <DataTable
      caption="Imports"
      captionHidden
      columns={columns(writing)}
      rows={imports}
      empty={empty}
      rowHref={(row) => `/imports/${row.id}`}
    />
  )
}
