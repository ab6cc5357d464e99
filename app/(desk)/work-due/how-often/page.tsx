import type { Metadata } from 'next'
import { everyWords } from '@/components/due/due-words'
import { WorkDueTabs } from '@/components/due/work-due-tabs'
import { inHundred } from '@/components/how-often'
import { Awaited, Empty, moneyWords, quantityWords, Sheet } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { mayDo } from '@/lib/office/frame/role-actions'
import { type CadenceList, type CadenceRow, cadences } from '@/lib/office/how-often/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'How often to come' }

export default async function CadencesPage() {
  const actor = await requireActor('due.read')
  const list = await cadences(actor, new Date())
  if (!list)
    return (
      <div className="stack">
        <PageHead title="How often to come" />
        <WorkDueTabs current="/work-due/how-often" mayDecide={mayDo(actor.roles, 'due.change')} />
        <Awaited />
      </div>
    )
  const { rows, missing, currency, locale, toChange, weighed } = list
  const money = (minor: number) => moneyWords({ minor, currency, locale, whole: true })
  return (
    <div className="stack">
      <PageHead title="How often to come" sub={subOf(list, toChange)} />
      <WorkDueTabs current="/work-due/how-often" mayDecide={mayDo(actor.roles, 'due.change')} />
      {missing ? (
        <Sheet>
          <Empty title="Not enough to tell yet">
            <p>{missing}</p>
          </Empty>
        </Sheet>
      ) : (
        <DataTable
          caption="Tanks by how sure it is that coming more or less often pays"
          captionHidden
          rows={rows}
          rowKey={(row) => row.tankId}
          rowHref={(row) => `/tanks/${row.tankId}/how-often`}
          columns={[
            { key: 'tank', header: 'Tank', cell: (row: CadenceRow) => row.tankName },
            { key: 'client', header: 'Client', cell: (row) => row.clientName },
            { key: 'now', header: 'Now', cell: (row) => everyWords(row.presentDays) },
            {
              key: 'better',
              header: 'Cheaper',
              cell: ({ answer, objections }) =>
                answer.change ? (
                  <>
                    <strong>{everyWords(answer.cheapest.days)}</strong>
                    {objections.length > 0 && <span className="call small"> but: {objections.join('; ')}</span>}
                  </>
                ) : (
                  <span className="soft">as it is</span>
                ),
            },
            {
              key: 'saving',
              header: 'Less a year',
              numeric: true,
              cell: ({ answer }) => (answer.change ? money(answer.saving) : ''),
            },
            {
              key: 'sure',
              header: 'How sure',
              numeric: true,
              cell: ({ answer }) => (answer.change ? inHundred(answer.cheapest.chanceCheaper) : ''),
            },
            {
              key: 'while',
              header: 'Holds while a failure costs less than',
              numeric: true,
              cell: ({ answer, isClientStated }) =>
                answer.change && answer.breakEvenFailure !== null ? (
                  <>
                    {money(answer.breakEvenFailure)}
                    {!isClientStated && <span className="soft small"> client not stated</span>}
                  </>
                ) : (
                  ''
                ),
            },
            {
              key: 'failures',
              header: 'Failures a year: now, and with it',
              numeric: true,
              cell: ({ answer }) =>
                answer.change
                  ? `${answer.present.failures.toFixed(1)} → ${answer.cheapest.failures.toFixed(1)}`
                  : answer.present.failures.toFixed(1),
            },
          ]}
        />
      )}
      {weighed > rows.length && (
        <p className="soft">
          The first {rows.length} of {weighed} tanks are shown.
        </p>
      )}
      {list.silent > 0 && (
        <p className="soft small">
          {list.silent} {list.silent === 1 ? 'tank has' : 'tanks have'} no two visits of ours yet.
        </p>
      )}
      <p className="soft small">
        Only faults are weighed here: not what clients pay, nor the water tests, feeding and cleaning of a visit.
        Animals come first; how often you come is yours to choose. Where nothing was stated of a client, a failure
        counts as no more than the drive out. Costs come from{' '}
        <PageLink href="/settings/costs">your cost settings</PageLink> and what was stated for a client.
      </p>
    </div>
  )
}

const count = (value: number) => quantityWords({ value })

function subOf({ missing, meanDelayDays, route }: CadenceList, toChange: number): string {
  if (missing || !meanDelayDays) return 'Visits cost money, and so do failures that come between them.'
  const weeks = (days: number) => Math.max(1, Math.round(days / 7))
  return `From ${count(route.found)} needs found and ${count(route.failed)} failures: about ${weeks(meanDelayDays.median)} ${weeks(meanDelayDays.median) === 1 ? 'week' : 'weeks'} from the one to the other (${weeks(meanDelayDays.lower)} to ${weeks(meanDelayDays.upper)}, 9 in 10 sure). ${toChange === 0 ? 'Nowhere would coming more or less often surely pay.' : `By the stated costs alone coming more or less often would pay at ${toChange} ${toChange === 1 ? 'tank' : 'tanks'}.`}`
}
