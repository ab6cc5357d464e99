import type { Metadata } from 'next'
import { weeksWords } from '@/components/due/due-words'
import { WorkDueTabs } from '@/components/due/work-due-tabs'
import { rangeWords } from '@/components/learned'
import { DateWords, Empty, quantityWords } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { mayDo } from '@/lib/office/frame/role-actions'
import { type LearnedRow, learned } from '@/lib/office/learned/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'What we have learned' }

export default async function LearnedPage() {
  const actor = await requireActor('due.read')
  const { rows, version, madeOn } = await learned(actor)
  return (
    <div className="stack">
      <PageHead
        title="What we have learned"
        sub={
          version === null || madeOn === null ? (
            'Nothing yet.'
          ) : (
            <>
              How long things last on this route, from every visit. Version {version}, made on{' '}
              <DateWords date={madeOn} style="date" />.
            </>
          )
        }
      />
      <WorkDueTabs current="/work-due/learned" mayDecide={mayDo(actor.roles, 'due.change')} />
      <DataTable
        caption="Each kind of fault with how long it takes to come, those with most needs first"
        captionHidden
        rows={rows}
        rowKey={(row) => `${row.equipmentClass} ${row.failureMode}`}
        rowHref={(row) => learnedHref(row)}
        empty={
          <Empty title="Nothing learned yet">
            <p>Every night the records are read anew. Log visits with what was found, or bring your old records.</p>
          </Empty>
        }
        columns={[
          {
            key: 'mode',
            header: 'Fault',
            width: '30%',
            cell: (row: LearnedRow) => `${row.className}: ${row.modeName}`,
          },
          {
            key: 'median',
            header: 'Half need it by',
            cell: ({ medianDays }) =>
              medianDays ? (
                <>
                  <strong>{weeksWords(medianDays.median)}</strong>{' '}
                  <span className="soft small">{rangeWords(medianDays.lower, medianDays.upper)}, 9 in 10 sure</span>
                </>
              ) : (
                <span className="soft">not known yet</span>
              ),
          },
          { key: 'shape', header: 'How it comes', cell: (row) => row.shapeWords },
          { key: 'lives', header: 'Watched', numeric: true, cell: (row) => quantityWords({ value: row.lives }) },
          { key: 'events', header: 'Needed it', numeric: true, cell: (row) => quantityWords({ value: row.events }) },
          { key: 'source', header: 'From', cell: (row) => SOURCE_WORDS[row.source] },
        ]}
      />
      {rows.length > 0 && (
        <p className="soft small">
          “Watched” counts each stretch from one renewal to the next need or look; “Needed it” those that ended in a
          need.
        </p>
      )}
    </div>
  )
}

const SOURCE_WORDS: Record<LearnedRow['source'], string> = {
  'own records': 'our own records',
  'own records and trade': 'our records and the trade',
  trade: 'the trade’s figures',
}

function learnedHref({ equipmentClass, failureMode }: LearnedRow): string {
  return `/work-due/learned/${encodeURIComponent(equipmentClass)}/${encodeURIComponent(failureMode)}`
}
