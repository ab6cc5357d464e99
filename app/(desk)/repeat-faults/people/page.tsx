import type { Metadata } from 'next'
import { FaultsTabs } from '@/components/faults'
import { Awaited, Empty, quantityWords, Sheet, Why } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { peopleComparison } from '@/lib/office/faults/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Who looked' }

const of100 = (share: number) => `${Math.round(share * 100)} of 100`

export default async function WhoLookedPage() {
  const actor = await requireActor('faults.read')
  const compared = await peopleComparison(actor, new Date())
  const { pairs, looks, tanks } = compared ?? { pairs: [], looks: 0, tanks: 0 }
  const differ = pairs.filter((pair) => pair.differ)
  return (
    <div className="stack">
      <PageHead
        title="Who looked"
        over="Repeat faults"
        sub={
          differ.length === 0
            ? 'Nobody is seen to judge otherwise than the others.'
            : 'People have different thresholds. A picture of “needs it” for each fault helps everybody.'
        }
      />
      <FaultsTabs current="/repeat-faults/people" />
      {compared === null && <Awaited />}
      {differ.map((pair) => (
        <Why key={`${pair.one} ${pair.other}`}>{pair.words}</Why>
      ))}
      <Sheet title="Two people on the same tanks">
        <DataTable
          caption="Pairs of people who looked at the same things"
          captionHidden
          rows={pairs}
          rowKey={(pair) => `${pair.one} ${pair.other}`}
          empty={
            <Empty title="Nobody to compare yet">
              <p>Two people are compared once each has looked twenty times at things that both have looked at.</p>
            </Empty>
          }
          columns={[
            { key: 'who', header: 'Who', cell: (pair) => `${pair.oneName} and ${pair.otherName}` },
            { key: 'shared', header: 'Things seen by both', numeric: true, cell: (pair) => pair.shared },
            {
              key: 'found',
              header: 'Looks that find a need',
              cell: (pair) => `${pair.oneName} ${of100(pair.onesShare)}, ${pair.otherName} ${of100(pair.othersShare)}`,
            },
            {
              key: 'looks',
              header: 'Looks',
              numeric: true,
              cell: (pair) =>
                `${quantityWords({ value: pair.onesLooks.looks })} and ${quantityWords({ value: pair.othersLooks.looks })}`,
            },
            {
              key: 'ratio',
              header: 'Odds of “needs it”, first against second',
              numeric: true,
              cell: ({ ratio }) => oddsWords(ratio),
            },
            {
              key: 'says',
              header: 'Says',
              cell: (pair) => (pair.differ ? 'a different threshold' : 'no more apart than chance'),
            },
          ]}
        />
      </Sheet>
      <Why tone="quiet" detailsWords="How is this compared?" details={<Rule looks={looks} tanks={tanks} />}>
        Shown, never corrected for: no due date and no rank changes because of it. Nobody is measured by this.
      </Why>
    </div>
  )
}

/** Where one of the two never finds it only a limit can be told. */
function oddsWords(ratio: { oddsRatio: number; lower: number; upper: number } | null): string {
  if (!ratio) return 'cannot tell'
  if (ratio.oddsRatio === 0) return `under ${ratio.upper.toFixed(1)}`
  if (!Number.isFinite(ratio.oddsRatio)) return `over ${ratio.lower.toFixed(1)}`
  return `${ratio.oddsRatio.toFixed(1)} (${ratio.lower.toFixed(1)} to ${ratio.upper.toFixed(1)})`
}

function Rule({ looks, tanks }: { looks: number; tanks: number }) {
  return (
    <p>
      Of {quantityWords({ value: looks })} looks at {tanks} {tanks === 1 ? 'tank' : 'tanks'} only those count that two
      people made at the same fault of the same device, deep enough to mean something, and while no need was open.
      Shares are weighted as if both had looked at the same mix of things. The odds of finding a need are compared
      within each and then drawn together (Mantel–Haenszel, with the 95 % interval of Robins, Breslow and Greenland).
      Who comes later after a clean finds more; that evens out only where people take turns.
    </p>
  )
}
