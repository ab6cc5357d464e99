import type { Metadata } from 'next'
import { z } from 'zod'
import { Field } from '@/components/forms'
import { DraftList, InvoiceList, MakeDraftsForm, StartDraftForm, UnbilledList } from '@/components/money'
import { ButtonLink, Facts, moneyWords, Pagination, Sheet, TabLinks } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { FilterForm } from '@/components/tables'
import { INVOICE_FILTERS, INVOICES_PER_PAGE, moneyPage } from '@/lib/office/money/queries'
import { mayDo } from '@/lib/office/people/role-actions'
import { requireActor } from '@/lib/office/people/session'
import { makeDraftsAction, startDraftAction } from './actions'

export const metadata: Metadata = { title: 'Money' }

const month = z.string().regex(/^\d{4}-(0[1-9]|1[0-2])$/)
const query = z.object({
  through: month.optional().catch(undefined),
  since: month.optional().catch(undefined),
  show: z.enum(INVOICE_FILTERS).catch('all'),
  search: z.string().trim().max(80).catch(''),
  page: z.coerce.number().int().min(1).max(10_000).catch(1),
})

const TABS = { all: 'All', open: 'Open', late: 'Late', paid: 'Paid', credit: 'Credit notes' } as const

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function MoneyPage({ searchParams }: Props) {
  const actor = await requireActor('money.read')
  const { through, since, show, search, page } = query.parse(await searchParams)
  const money = await moneyPage(actor, { through, since, filter: show, search, page })
  const { currency, locale, sums } = money
  const amount = (minor: number) => moneyWords({ minor, currency, locale })
  const mayChange = mayDo(actor.roles, 'money.change')
  const href = (to: { show?: string; page?: number }) =>
    `/money?${new URLSearchParams({ show: to.show ?? show, ...(search ? { search } : {}), page: String(to.page ?? 1) })}#invoices`
  const first = (page - 1) * INVOICES_PER_PAGE
  return (
    <>
      <PageHead
        title="Money"
        sub={
          sums.late.count > 0
            ? `${sums.late.count === 1 ? 'One invoice is' : `${sums.late.count} invoices are`} late, ${amount(sums.late.minor)} together.`
            : 'No invoice is late.'
        }
        actions={
          <>
            <ButtonLink href="/money/prices">Price list</ButtonLink>
            <ButtonLink href="/books">Books</ButtonLink>
          </>
        }
      />
      <div className="wide-narrow">
        <div className="stack">
          <Sheet title="Drafts to issue" tone={money.drafts.length > 0 ? 'call' : undefined} id="drafts">
            <DraftList drafts={money.drafts} locale={locale} />
          </Sheet>
          <Sheet title="Not yet billed" id="unbilled">
            <FilterForm action="/money" label="Which unbilled work" clearHref={through || since ? '/money' : undefined}>
              <Field label="Through the month" name="through" type="month" defaultValue={money.through} />
              <Field
                label="Fees never billed, from"
                name="since"
                type="month"
                defaultValue={since ?? ''}
                hint="Empty: from when they were written down."
              />
            </FilterForm>
            <UnbilledList groups={money.unbilled} locale={locale} />
            {mayChange && (
              <MakeDraftsForm
                businessId={money.businessId}
                through={money.through}
                since={since}
                hasWork={money.unbilled.some(({ lines }) => lines.length > 0)}
                act={makeDraftsAction}
              />
            )}
          </Sheet>
        </div>
        <div className="stack">
          <Sheet title="How it stands">
            <Facts
              numbers
              items={[
                { term: `Open, ${sums.open.count}`, value: amount(sums.open.minor) },
                { term: `Late, ${sums.late.count}`, value: amount(sums.late.minor) },
                { term: `Came in this month, ${sums.received.count}`, value: amount(sums.received.minor) },
              ]}
            />
          </Sheet>
          {mayChange && (
            <Sheet title="Something else to bill">
              <StartDraftForm businessId={money.businessId} clients={money.clients} act={startDraftAction} />
            </Sheet>
          )}
        </div>
      </div>
      <Sheet title="Invoices" id="invoices">
        <TabLinks
          label="Which invoices"
          items={INVOICE_FILTERS.map((filter) => ({
            href: href({ show: filter }),
            label: TABS[filter],
            current: filter === show,
          }))}
        />
        <FilterForm action="/money#invoices" label="Find an invoice" clearHref={search ? '/money#invoices' : undefined}>
          <input type="hidden" name="show" value={show} />
          <Field label="Number or client" name="search" type="search" defaultValue={search} />
        </FilterForm>
        <InvoiceList invoices={money.invoices} locale={locale} />
        <Pagination
          words={`Invoices ${first + 1} to ${first + money.invoices.length} of ${money.total}`}
          previousHref={page > 1 ? href({ page: page - 1 }) : undefined}
          nextHref={first + money.invoices.length < money.total ? href({ page: page + 1 }) : undefined}
        />
      </Sheet>
    </>
  )
}
