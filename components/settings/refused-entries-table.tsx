import { dateWords, Empty } from '@/components/paper'
import { DataTable } from '@/components/tables'

type Entry = { id: string; kind: string; madeAt: string; reason: string; personName: string }

/** Entries that were not taken over, with the reason; they are kept as they came. */
export function RefusedEntriesTable({ entries }: { entries: readonly Entry[] }) {
  return (
    <DataTable
      caption="Entries that were not taken over"
      captionHidden
      rows={entries}
      empty={<Empty title="Nothing was refused">Every entry from every phone was taken over.</Empty>}
      columns={[
        { key: 'made', header: 'Made', cell: ({ madeAt }) => dateWords({ date: madeAt, style: 'moment' }) },
        { key: 'who', header: 'By', cell: ({ personName }) => personName },
        { key: 'what', header: 'What', cell: ({ kind }) => kind.replace(/[.-]/g, ' ') },
        { key: 'why', header: 'Why not', cell: ({ reason }) => reason },
      ]}
    />
  )
}
