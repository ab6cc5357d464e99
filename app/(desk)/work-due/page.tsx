import type { Metadata } from 'next'
import { z } from 'zod'
import { lateWords, shortReason } from '@/components/due/due-words'
import { WorkDueTabs } from '@/components/due/work-due-tabs'
import { Field, SelectField } from '@/components/forms'
import { DateWords, Empty, Pages } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { DataTable, FilterForm } from '@/components/tables'
import { type DueRow, whyHref, workDue } from '@/lib/office/due/queries'
import { mayDo } from '@/lib/office/frame/role-actions'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Work due' }

const WITHIN = [
  { value: '0', label: 'due by today' },
  { value: '14', label: 'within two weeks' },
  { value: '28', label: 'within four weeks' },
  { value: '91', label: 'within a quarter' },
  { value: 'all', label: 'everything, also what waits for a look' },
]

/** Longer ago than this a day without its year misleads. */
const DAYS_WITHOUT_YEAR = 180

const paramsSchema = z.object({
  search: z.string().max(100).catch('').default(''),
  within: z.enum(['0', '14', '28', '91', 'all']).catch('14').default('14'),
  page: z.coerce.number().int().min(1).catch(1),
})

export default async function WorkDuePage({
  searchParams,
}: {
  searchParams: Promise<Record<string, string | string[]>>
}) {
  const actor = await requireActor('due.read')
  const { search, within, page } = paramsSchema.parse(await searchParams)
  const filter = { search, ...(within === 'all' ? {} : { withinDays: Number(within) }) }
  const { rows, pages, late, proposals } = await workDue(actor, filter, new Date(), page)
  return (
    <div className="stack">
      <PageHead
        title="Work due"
        sub={
          pages.total === 0
            ? 'Nothing here.'
            : `${pages.total} ${pages.total === 1 ? 'piece of work' : 'pieces of work'}, ${late} late`
        }
      />
      <WorkDueTabs current="/work-due" proposals={proposals} mayDecide={mayDo(actor.roles, 'due.change')} />
      <FilterForm action="/work-due" label="Which work" clearHref="/work-due">
        <Field label="Tank, client or site" name="search" type="search" defaultValue={search} />
        <SelectField label="When" name="within" defaultValue={within} options={WITHIN} />
      </FilterForm>
      <DataTable
        caption="Work due across the route, soonest first"
        captionHidden
        rows={rows}
        rowKey={(row) => `${row.equipmentId} ${row.careTask}`}
        rowTone={(row) => (row.reason.rule === 'need-open' ? 'call' : undefined)}
        rowHref={(row) => whyHref(row.equipmentId, row.careTask)}
        empty={
          search.trim() === '' ? (
            <Empty title="Nothing is due in that time">
              <p>
                Work becomes due as visits are logged. Look further ahead, or{' '}
                <PageLink href="/tanks">see the tanks</PageLink>.
              </p>
            </Empty>
          ) : (
            <Empty title={`Nothing due in that time matches “${search.trim()}”`}>
              Try a part of the tank’s, client’s or site’s name, or look further ahead.
            </Empty>
          )
        }
        columns={[
          { key: 'work', header: 'Work', width: '22%', cell: (row: DueRow) => row.taskName },
          {
            key: 'where',
            header: 'Where',
            width: '22%',
            cell: (row: DueRow) => (
              <>
                <PageLink href={`/tanks/${row.tankId}`}>{row.tankName}</PageLink>
                <span className="soft small"> {row.clientName}</span>
                <br />
                <span className="small">
                  {row.equipmentLabel}: {row.modeWords}
                </span>
              </>
            ),
          },
          {
            key: 'because',
            header: 'Because',
            width: '34%',
            cell: (row: DueRow) => <span className="small">{shortReason(row.reason, row.intervalDays)}</span>,
          },
          { key: 'due', header: 'Due', cell: (row: DueRow) => <DueCell row={row} /> },
          {
            key: 'next',
            header: 'Next visit',
            cell: (row: DueRow) =>
              row.nextVisitOn ? (
                <DateWords date={row.nextVisitOn} style="short" />
              ) : (
                <span className="soft">not booked</span>
              ),
          },
        ]}
      />
      <Pages
        of="Work"
        {...pages}
        hrefOf={(number) => `/work-due?${new URLSearchParams({ search, within, page: String(number) })}`}
      />
    </div>
  )
}

const WITHOUT_A_DAY: Readonly<Record<string, string>> = {
  'never-seen': 'look at the next visit',
  'not-watched': 'resting',
}

function DueCell({ row }: { row: DueRow }) {
  if (row.reason.rule === 'need-open') {
    return (
      <span className="call">
        Found, not yet done
        <br />
        {row.dueOn && <DateWords date={row.dueOn} style="short" />}
      </span>
    )
  }
  if (row.dueOn === null) {
    return row.lookBy ? (
      <>
        Look by <DateWords date={row.lookBy} style="short" />
      </>
    ) : (
      <span className="soft">{WITHOUT_A_DAY[row.reason.rule] ?? 'when needed'}</span>
    )
  }
  const late = lateWords(row.daysLate, row.dueOn)
  return (
    <>
      <DateWords date={row.dueOn} style={(row.daysLate ?? 0) > DAYS_WITHOUT_YEAR ? 'date' : 'short'} />
      {late && (
        <>
          <br />
          <span className="call small">{late}</span>
        </>
      )}
    </>
  )
}
