import type { Metadata } from 'next'
import { z } from 'zod'
import { WeekPlan } from '@/components/booking'
import { SelectField } from '@/components/forms'
import { ButtonLink, dateWords, Empty, Notice, Pagination } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { FilterForm } from '@/components/tables'
import { weekOf } from '@/lib/office/booking/queries'
import { isoWeek } from '@/lib/office/booking/schema'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Plan' }

const query = z.object({
  week: isoWeek.optional().catch(undefined),
  technician: z.uuid().optional().catch(undefined),
  said: z.enum(['booked', 'moved']).optional().catch(undefined),
})
const SAID = { booked: 'The visit is booked.', moved: 'The visit is moved.' }

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function PlanPage({ searchParams }: Props) {
  const actor = await requireActor('plan.read')
  const { week: asked, technician, said } = query.parse(await searchParams)
  const plan = await weekOf(actor, { week: asked, technicianId: technician })
  const { days, locale } = plan
  const href = (week: string) => `/plan?${new URLSearchParams({ week, ...(technician ? { technician } : {}) })}`
  const day = (date = plan.today) => dateWords({ date, style: 'day', locale })
  const visits = plan.rows.flatMap((row) => row.days).reduce((sum, { visits }) => sum + visits.length, 0)
  return (
    <>
      <PageHead
        title="Plan"
        over={`Week ${Number(plan.week.slice(-2))} of ${plan.week.slice(0, 4)}`}
        sub={`${day(days[0])} to ${day(days[6])}: ${countWords(visits, 'visit')}${plan.cancelled > 0 ? `, ${plan.cancelled} cancelled` : ''}.`}
        actions={
          <>
            <ButtonLink href="/plan/book" go>
              Book a visit
            </ButtonLink>
            <ButtonLink href={`/plan/due?week=${plan.week}`}>Fill from agreements</ButtonLink>
            <ButtonLink href="/plan/requests">
              {plan.openRequests === 0 ? 'Requests' : countWords(plan.openRequests, 'request')}
            </ButtonLink>
          </>
        }
      />
      {said && <Notice>{SAID[said]}</Notice>}
      <FilterForm action="/plan" label="Whose week" clearHref={technician ? `/plan?week=${plan.week}` : undefined}>
        <input type="hidden" name="week" value={plan.week} />
        <SelectField
          label="Who"
          name="technician"
          placeholder="Everybody"
          defaultValue={technician ?? ''}
          options={plan.technicians.map(({ id, name }) => ({ value: id, label: name }))}
        />
      </FilterForm>
      <Pagination
        words={plan.week === plan.thisWeek ? 'This week' : undefined}
        previousHref={href(plan.previousWeek)}
        previousWords="Week before"
        nextHref={href(plan.nextWeek)}
        nextWords="Week after"
      />
      {plan.rows.length === 0 ? (
        <Empty title="Nobody goes on the round yet">
          <p>Say on a person’s page that they go on the round; then visits can be planned for them.</p>
          <ButtonLink href="/people">People</ButtonLink>
        </Empty>
      ) : (
        <WeekPlan
          rows={plan.rows}
          today={plan.today}
          locale={locale}
          hrefOf={
            plan.isCounted
              ? (id) => (id === '' ? '/plan/due' : `/plan?${new URLSearchParams({ week: plan.week, technician: id })}`)
              : undefined
          }
        />
      )}
    </>
  )
}

function countWords(count: number, what: string): string {
  return `${count === 0 ? 'no' : count} ${what}${count === 1 ? '' : 's'}`
}
