import { DateWords, Sheet } from '../paper'
import { DataTable } from '../tables'

type Row = { id: string; person: string; reason: string; receivedAt: string }
type Props = { rows: readonly Row[]; locale: string; timeZone: string }

/** What came from a phone and could not be taken into the record; not shown where there is none. */
export function RefusedSheet({ rows, locale, timeZone }: Props) {
  if (rows.length === 0) return null
  return (
    <Sheet title="Sent but not taken" tone="call">
      <p>
        These entries did not go into the record. Whoever made them has them on their phone and has to put them right.
      </p>
      <DataTable
        caption="Entries that were refused"
        captionHidden
        rows={rows}
        columns={[
          { key: 'who', header: 'Who', cell: (row) => row.person },
          { key: 'why', header: 'Why', cell: (row) => row.reason },
          {
            key: 'when',
            header: 'When',
            cell: (row) => <DateWords date={row.receivedAt} style="moment" locale={locale} timeZone={timeZone} />,
          },
        ]}
      />
    </Sheet>
  )
}
