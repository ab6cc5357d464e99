import { Sheet } from '@/components/paper'
import { PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'

type Shift = {
  quantity: string
  words: string
  found: boolean
  pValue: number
  adjustedP: number
  unit: string
  otherLots: readonly string[]
  rows: readonly { tankId: string; tankName: string; change: number; onLot: boolean }[]
}

const TANKS_LISTED = 60

const signed = (value: number) => `${value < 0 ? '−' : '+'}${Math.abs(value).toPrecision(2)}`
const probability = (p: number) => (p < 0.001 ? 'under 0.001' : p.toFixed(3))

/** What the tanks on one lot share, against the tanks that never had it. */
export function LotShiftSheet({ shifts }: { shifts: readonly Shift[] }) {
  const found = shifts.filter((shift) => shift.found)
  const rest = shifts.filter((shift) => !shift.found)
  return (
    <Sheet title="What its tanks share" tone={found.length > 0 ? 'call' : undefined}>
      {shifts.length === 0 && (
        <p className="soft">
          Nothing to compare yet. Four tanks on the lot and four others are needed, each with two readings before and
          two after the first use.
        </p>
      )}
      {shifts.length > 0 && found.length === 0 && <p>Nothing is put down to this lot.</p>}
      {found.map((shift) => (
        <div key={shift.quantity} className="stack">
          <p>
            <strong>{shift.words}</strong>
            {shift.otherLots.length > 0 &&
              ` Or it is ${shift.otherLots.join(', ')}: going by the tanks each is in, the two cannot be told apart.`}
          </p>
          <details>
            <summary>{shift.rows.length > TANKS_LISTED ? `The first ${TANKS_LISTED} tanks` : 'Every tank'}</summary>
            <DataTable
              caption="Change per tank, those on the lot first"
              captionHidden
              rows={[...shift.rows]
                .sort((a, b) => Number(b.onLot) - Number(a.onLot) || a.change - b.change)
                .slice(0, TANKS_LISTED)}
              rowKey={(row) => row.tankId}
              columns={[
                {
                  key: 'tank',
                  header: 'Tank',
                  cell: (row) => <PageLink href={`/tanks/${row.tankId}`}>{row.tankName}</PageLink>,
                },
                { key: 'lot', header: 'On the lot', cell: (row) => (row.onLot ? 'yes' : 'no') },
                {
                  key: 'change',
                  header: `Change${shift.unit ? `, ${shift.unit}` : ''}`,
                  numeric: true,
                  cell: (row) => signed(row.change),
                },
              ]}
            />
          </details>
          <p className="soft small">
            p-value {probability(shift.pValue)}, {probability(shift.adjustedP)} once allowed for everything tested.
          </p>
        </div>
      ))}
      {rest.length > 0 && (
        <details>
          <summary>What else was tested</summary>
          <ul>
            {rest.map((shift) => (
              <li key={shift.quantity}>{shift.words}</li>
            ))}
          </ul>
        </details>
      )}
    </Sheet>
  )
}
