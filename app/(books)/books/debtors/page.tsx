import type { Metadata } from 'next'
import { z } from 'zod'
import { Field } from '@/components/forms'
import { AgedTable, BalanceFacts } from '@/components/money'
import { dateWords, Pages, Problem, Sheet } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { FilterForm } from '@/components/tables'
import { readPeriod } from '@/lib/office/money/period'
import { debtorsPage } from '@/lib/office/money/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Aged debtors' }

const query = z.object({
  to: z.string().max(20).optional().catch(undefined),
  page: z.coerce.number().int().min(1).max(10_000).catch(1),
})

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function DebtorsPage({ searchParams }: Props) {
  const actor = await requireActor('books.export')
  const asked = query.parse(await searchParams)
  const { words, to } = readPeriod({ to: asked.to })
  const { asAt, balances, clients, pages, locale } = await debtorsPage(actor, { asAt: to, page: asked.page })
  return (
    <>
      <PageHead
        over={<PageLink href="/books">Books</PageLink>}
        title="Aged debtors"
        sub={`As at ${dateWords({ date: asAt, style: 'date', locale })}, by whole days past the due date.`}
        actions={
          <a className="button go" href={`/api/books/debtors?to=${asAt}`}>
            Debtors as CSV
          </a>
        }
      />
      {words !== null && <Problem>{words}</Problem>}
      <FilterForm action="/books/debtors" label="As at which day" clearHref={asked.to ? '/books/debtors' : undefined}>
        <Field label="As at" name="to" type="date" defaultValue={asAt} />
      </FilterForm>
      <Sheet title="All clients">
        <BalanceFacts balances={balances} locale={locale} />
      </Sheet>
      <Sheet title="By client">
        <AgedTable clients={clients} balances={balances} asAt={asAt} locale={locale} />
        <Pages of="Clients" {...pages} hrefOf={(page) => `/books/debtors?to=${asAt}&page=${page}`} />
      </Sheet>
    </>
  )
}
