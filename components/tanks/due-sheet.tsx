import { DateWords, dateWords, Empty, Sheet } from '@/components/paper'
import { PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'

type Due = {
  equipmentId: string
  careTask: string
  equipmentLabel: string
  taskName: string
  modeWords: string
  dueOn: string | null
  lookBy: string | null
  /** To be looked at by then, not due by then. */
  onlyToLook: boolean
  reason: { words: string }
}
type Props = { due: readonly Due[]; nextVisitOn: string | null; today: string; locale: string }

/** What the next visit has to include, each with its reason. */
export function DueSheet({ due, nextVisitOn, today, locale }: Props) {
  const title =
    nextVisitOn === null ? 'Due within two weeks' : `Due on ${dateWords({ date: nextVisitOn, style: 'day', locale })}`
  return (
    <Sheet title={title} id="due">
      <DataTable
        caption={title}
        captionHidden
        rows={due}
        rowKey={(row) => `${row.equipmentId} ${row.careTask}`}
        empty={<Empty title="Nothing due">What comes due until then will stand here.</Empty>}
        columns={[
          {
            key: 'work',
            header: 'Work',
            width: '36%',
            cell: (row) => (
              <PageLink href={`/work-due/${row.equipmentId}/${encodeURIComponent(row.careTask)}`}>
                {row.equipmentLabel}: {row.onlyToLook ? `look for ${row.modeWords}` : row.taskName}
              </PageLink>
            ),
          },
          { key: 'because', header: 'Because', cell: (row) => row.reason.words },
          {
            key: 'when',
            header: 'When',
            cell: (row) => {
              const day = row.onlyToLook ? row.lookBy : row.dueOn
              return day ? <DateWords date={day} style="short" locale={locale} today={today} /> : 'at the next visit'
            },
          },
        ]}
      />
    </Sheet>
  )
}
