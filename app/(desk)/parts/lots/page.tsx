import type { Metadata } from 'next'
import { AddLotForm } from '@/components/lots'
import { Awaited, DateWords, Empty, Sheet, Why } from '@/components/paper'
import { PartsTabs } from '@/components/parts/parts-tabs'
import { PageHead } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { type LotRow, lotList } from '@/lib/office/lots/queries'
import { requireActor } from '@/lib/office/people/session'
import { addLotAction } from './actions'

export const metadata: Metadata = { title: 'Lots' }

const hrefOf = (lot: LotRow) => `/parts/lots/${lot.id}`

export default async function LotsPage() {
  const actor = await requireActor('parts.read')
  const { rows, tested, isAwaited } = await lotList(actor, new Date())
  const found = rows.filter((row) => row.found.length > 0)
  return (
    <div className="stack">
      <PageHead
        title="Lots"
        over="Parts"
        sub={
          found.length === 0
            ? 'No lot stands out: the tanks on each did as the others did.'
            : `${found.length === 1 ? 'The tanks on one lot' : `The tanks on ${found.length} lots`} moved together.`
        }
      />
      <PartsTabs current="/parts/lots" />
      {isAwaited && <Awaited />}
      {found.map((row) => (
        <Why key={row.id} href={hrefOf(row)} hrefWords="Which tanks?">
          <strong>
            {row.kindWords}, lot {row.label}:
          </strong>{' '}
          {row.found.join(' ')}
        </Why>
      ))}
      <DataTable
        caption="Lots, those in use first"
        captionHidden
        rows={rows}
        rowHref={hrefOf}
        rowTone={(row) => (row.found.length > 0 && row.usedUpOn === null ? 'call' : undefined)}
        empty={
          <Empty title="No lot yet">
            <p>
              Write down the lot of each delivery of salt, reagent or food and tick it where it is used. When the tanks
              of one lot move together, it is named here.
            </p>
          </Empty>
        }
        columns={[
          { key: 'label', header: 'Lot', width: '24%', cell: (row) => row.label },
          { key: 'kind', header: 'Of', cell: (row) => row.kindWords },
          { key: 'tanks', header: 'Tanks', numeric: true, cell: (row) => row.tanks },
          {
            key: 'first',
            header: 'First used',
            cell: (row) => row.firstUsedOn && <DateWords date={row.firstUsedOn} style="date" />,
          },
          {
            key: 'state',
            header: 'State',
            cell: (row) =>
              row.usedUpOn ? (
                <>
                  used up <DateWords date={row.usedUpOn} style="date" />
                </>
              ) : (
                'in use'
              ),
          },
          {
            key: 'found',
            header: 'Shared shift',
            cell: (row) =>
              row.found.length > 0 ? <span className="call">found</span> : <span className="soft">none</span>,
          },
        ]}
      />
      <Sheet title="A new lot">
        <AddLotForm action={addLotAction} />
      </Sheet>
      <Why tone="quiet" detailsWords="How is a shift found?" details={<Rule tested={tested} />}>
        The route is its own control group: tanks on a lot are held against those that never had it, over the same
        weeks.
      </Why>
    </div>
  )
}

function Rule({ tested }: { tested: number }) {
  return (
    <p>
      For each tank the median reading of the eight weeks after the first use less that of the eight weeks before. The
      changes on the lot are compared with those of the other tanks (Wilcoxon’s rank-sum test) for every lot of the last
      year and every quantity: {tested} {tested === 1 ? 'comparison' : 'comparisons'} now. Named are those that stand
      out with at most one false alarm in twenty among them, and where two tanks in three moved that way.
    </p>
  )
}
