import type { Metadata } from 'next'
import { Empty, Why } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { chanceWords, ratioWords } from '@/lib/office/faults/fault-words'
import { type FaultRow, repeatFaultList } from '@/lib/office/faults/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Repeat faults' }

const hrefOf = (row: FaultRow) =>
  `/repeat-faults/${row.tankId}/${encodeURIComponent(row.equipmentClass)}/${encodeURIComponent(row.failureMode)}`

export default async function RepeatFaultsPage() {
  const actor = await requireActor('faults.read')
  const { rows, pairs, fitted } = await repeatFaultList(actor)
  const sure = rows.filter((row) => row.sure)
  return (
    <div className="stack">
      <PageHead
        title="Repeat faults"
        sub={
          sure.length === 0
            ? 'No tank stands out for sure.'
            : `${sure.length} ${sure.length === 1 ? 'fault comes' : 'faults come'} back more often than chance explains.`
        }
      />
      <DataTable
        caption="Faults that keep coming back, the surest first"
        captionHidden
        rows={rows}
        rowKey={hrefOf}
        rowHref={hrefOf}
        rowTone={(row) => (row.sure ? 'call' : undefined)}
        empty={
          <Empty title="Nothing keeps coming back">
            <p>
              {fitted
                ? 'Every tank behaves as its equipment lets you expect.'
                : 'There is no life model yet: it is made every night and after an import, from the visits on record.'}
            </p>
          </Empty>
        }
        columns={[
          { key: 'what', header: 'Fault', width: '28%', cell: (row) => `${row.className}: ${row.modeWords}` },
          {
            key: 'where',
            header: 'Tank',
            width: '24%',
            cell: (row) => (
              <>
                {row.tankName} <span className="soft small">{row.clientName}</span>
              </>
            ),
          },
          {
            key: 'words',
            header: 'How often',
            width: '30%',
            cell: (row) => (
              <>
                {row.sure && <span className="call">Sure. </span>}
                {row.overdispersed ? ratioWords(row) : 'These tanks differ no more than chance would have it'}
              </>
            ),
          },
          { key: 'seen', header: 'Seen', numeric: true, cell: (row) => row.observed },
          { key: 'expected', header: 'Expected', numeric: true, cell: (row) => row.expected.toFixed(1) },
          {
            key: 'chance',
            header: 'Chance it is real',
            cell: (row) => (row.overdispersed ? chanceWords(row.probabilityAbove) : 'cannot tell'),
          },
        ]}
      />
      <Why tone="quiet" detailsWords="How is this decided?" details={<Rule pairs={pairs} />}>
        A tank is held against what its own looks would have found if it were like the others, so that looking or
        cleaning more often neither makes nor hides an offender.
      </Why>
    </div>
  )
}

function Rule({ pairs }: { pairs: number }) {
  return (
    <p>
      {pairs} tanks with their faults are compared, one kind of fault at a time. “Sure” asks for two things: the count
      is too high for chance (exact Poisson test, with at most one false alarm in twenty among those named), and the
      rate, drawn towards the other tanks', is at least half as high again. The chance is that the tank's own rate is
      more than half as high again as the route's.
    </p>
  )
}
