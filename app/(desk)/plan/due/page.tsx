import type { Metadata } from 'next'
import { z } from 'zod'
import { DueForm } from '@/components/booking'
import { SelectField } from '@/components/forms'
import { ButtonLink, dateWords, Empty, Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { FilterForm } from '@/components/tables'
import { dueByAgreement } from '@/lib/office/booking/queries'
import { isoWeek } from '@/lib/office/booking/schema'
import { requireActor } from '@/lib/office/people/session'
import { bookDueAction } from '../actions'

export const metadata: Metadata = { title: 'Fill from agreements' }

const WEEKS = ['1', '2', '4', '8'] as const
const query = z.object({
  week: isoWeek.optional().catch(undefined),
  weeks: z
    .enum(WEEKS)
    .catch('2')
    .transform((weeks) => Number(weeks)),
})

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function DuePage({ searchParams }: Props) {
  const actor = await requireActor('plan.change')
  const due = await dueByAgreement(actor, query.parse(await searchParams))
  const { locale, proposals } = due
  const day = (date: string) => dateWords({ date, style: 'day', locale })
  const isPast = due.to < due.from
  return (
    <>
      <PageHead
        title="Fill from agreements"
        over="Plan"
        sub={
          isPast
            ? 'This week is over.'
            : `${day(due.from)} to ${day(due.to)}: ${dueWords(proposals.length)} due and not booked.`
        }
        actions={<ButtonLink href={`/plan?week=${due.week}`}>The week</ButtonLink>}
      />
      <FilterForm action="/plan/due" label="Which weeks">
        <input type="hidden" name="week" value={due.week} />
        <SelectField
          label="How far"
          name="weeks"
          defaultValue={String(due.weeks)}
          options={WEEKS.map((weeks) => ({ value: weeks, label: weeks === '1' ? 'One week' : `${weeks} weeks` }))}
        />
      </FilterForm>
      <Sheet>
        {proposals.length === 0 && (
          <Empty title="Everything agreed is booked">
            What an agreement asks for counts from the last visit, or before the first one from the day agreed.
          </Empty>
        )}
        <DueForm action={bookDueAction} lines={proposals} technicians={due.technicians} locale={locale} />
        {due.left > 0 && <p className="soft">{due.left} more come up when these are booked.</p>}
      </Sheet>
    </>
  )
}

function dueWords(count: number): string {
  if (count === 0) return 'no visit is'
  return count === 1 ? 'one visit is' : `${count} visits are`
}
