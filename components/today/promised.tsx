import type { FormAction } from '@/lib/office/frame/schema'
import { Empty, Sheet } from '../paper'
import { DataTable } from '../tables'
import { KeepForm } from './keep-form'
import { dueWords } from './today-view'

type Row = { id: string; what: string; daysLate: number; person: string; tankName: string; siteName: string }
type Props = {
  rows: readonly Row[]
  keep: FormAction
}

/** Promises of the coming week; one press says that one is kept. Late ones wait for a decision instead. */
export function Promised({ rows, keep }: Props) {
  return (
    <Sheet title="Promised to clients" id="promised">
      <DataTable
        caption="Promised to clients"
        captionHidden
        rows={rows}
        columns={[
          { key: 'what', header: 'What', cell: (row) => row.what },
          { key: 'tank', header: 'Tank', cell: (row) => `${row.tankName}, ${row.siteName}` },
          {
            key: 'due',
            header: 'Who and when',
            cell: (row) => (
              <span className="soft">
                {[row.person, dueWords(row.daysLate)].filter((part) => part !== '').join(', ')}
              </span>
            ),
          },
          {
            key: 'keep',
            header: 'Mark done',
            bare: true,
            cell: (row) => <KeepForm action={keep} followUpId={row.id} />,
          },
        ]}
        empty={
          <Empty title="Nothing promised for this week">
            What a technician promises on a visit is listed here until it is done.
          </Empty>
        }
      />
    </Sheet>
  )
}
