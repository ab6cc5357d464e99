import type { Metadata } from 'next'
import { FaultsTabs } from '@/components/faults'
import { DateWords, Empty, quantityWords, Sheet, Why } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { type Column, DataTable } from '@/components/tables'
import { chanceInWords, ratioWords } from '@/lib/office/faults/fault-words'
import { type ListedFault, repeatFaultList } from '@/lib/office/faults/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Repeat faults' }

const hrefOf = (row: ListedFault) =>
  `/repeat-faults/${row.tankId}/${encodeURIComponent(row.equipmentClass)}/${encodeURIComponent(row.failureMode)}`

type FaultColumn = Column<ListedFault>

const WHAT: FaultColumn = {
  key: 'what',
  header: 'Fault',
  width: '24%',
  cell: (row) => `${row.className}: ${row.modeWords}`,
}
const WHERE: FaultColumn = {
  key: 'where',
  header: 'Tank',
  width: '18%',
  cell: (row) => (
    <>
      {row.tankName} <span className="soft small">{row.clientName}</span>
    </>
  ),
}
const HOW_OFTEN: FaultColumn = {
  key: 'words',
  header: 'How often',
  width: '24%',
  cell: (row) => (
    <>
      {row.sure && <span className="call">Sure: </span>}
      {ratioWords(row)}
    </>
  ),
}
const REMEDY: FaultColumn = {
  key: 'remedy',
  header: 'Remedy',
  width: '16%',
  cell: ({ remedy, sure }) =>
    (remedy.state !== 'none' || sure) && (
      <>
        <span className={remedy.state === 'not-fallen' ? 'call' : remedy.state === 'none' ? 'soft' : undefined}>
          {remedy.stateWords}
        </span>
        {remedy.effectiveOn && (
          <span className="soft small">
            {' '}
            since <DateWords date={remedy.effectiveOn} style="date" />
          </span>
        )}
      </>
    ),
}
const SEEN: FaultColumn = { key: 'seen', header: 'Seen', numeric: true, cell: (row) => row.observed }
const EXPECTED: FaultColumn = {
  key: 'expected',
  header: 'Expected',
  numeric: true,
  cell: (row) => row.expected.toFixed(1),
}
const CHANCE: FaultColumn = {
  key: 'chance',
  header: 'Chance it is real',
  cell: (row) => chanceInWords(row.probabilityAbove),
}

export default async function RepeatFaultsPage() {
  const actor = await requireActor('faults.read')
  const { rows, more, sure, pairs, fitted } = await repeatFaultList(actor, new Date())
  const ranked = rows.filter(({ overdispersed }) => overdispersed)
  const unsure = rows.filter(({ overdispersed }) => !overdispersed)
  return (
    <div className="stack">
      <PageHead
        title="Repeat faults"
        sub={
          sure === 0
            ? 'No tank stands out for sure.'
            : `${sure} ${sure === 1 ? 'fault comes' : 'faults come'} back more often than chance explains.`
        }
      />
      <FaultsTabs current="/repeat-faults" />
      <DataTable
        caption="Faults that keep coming back, the surest first"
        captionHidden
        rows={ranked}
        rowKey={hrefOf}
        rowHref={hrefOf}
        rowTone={(row) => (isCall(row) ? 'call' : undefined)}
        empty={
          <Empty title="Nothing keeps coming back">
            <p>
              {fitted
                ? 'Every tank behaves as its equipment lets you expect.'
                : 'There is no life model yet: it is made every night and after an import, from the visits on record.'}
            </p>
          </Empty>
        }
        columns={[WHAT, WHERE, HOW_OFTEN, REMEDY, SEEN, EXPECTED, CHANCE]}
      />
      {ranked.length > 0 && (
        <p className="soft small">
          “How often” is drawn towards the other tanks’, all the more the less was seen here: it is not “Seen” over
          “Expected”.
        </p>
      )}
      {more && (
        <p className="soft">
          Only the surest of those that stand out are shown, and all with a remedy. The others move up as these are seen
          to.
        </p>
      )}
      {unsure.length > 0 && (
        <Sheet title="Too close to call">
          <p className="small soft">
            More was seen than expected, or a remedy is watched; but in this fault the tanks differ no more than chance
            would have it, so they stand in no order.
          </p>
          <DataTable
            caption="Faults that are too close to call"
            captionHidden
            rows={unsure}
            rowKey={hrefOf}
            rowHref={hrefOf}
            rowTone={(row) => (isCall(row) ? 'call' : undefined)}
            columns={[WHAT, WHERE, REMEDY, SEEN, EXPECTED]}
          />
        </Sheet>
      )}
      <Why tone="quiet" detailsWords="How is this decided?" details={<Rule pairs={pairs} />}>
        A tank is held against what its own looks would have found if it were like the others, so that looking or
        cleaning more often neither makes nor hides an offender.
      </Why>
    </div>
  )
}

/** A sure fault against which nothing was decided, or a remedy that has not worked: somebody must decide. */
function isCall({ sure, remedy }: ListedFault): boolean {
  return remedy.state === 'not-fallen' || (sure && remedy.state === 'none')
}

function Rule({ pairs }: { pairs: number }) {
  return (
    <p>
      {quantityWords({ value: pairs })} pairs of a tank and a fault are compared, one kind of fault at a time. “Sure”
      asks for two things: the count is too high for chance (exact Poisson test, with at most one false alarm in twenty
      among those named), and the rate, drawn towards the other tanks', is at least half as high again. The chance is
      that the tank's own rate is more than half as high again as the route's.
    </p>
  )
}
