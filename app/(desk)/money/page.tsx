import type { Metadata } from 'next'
import { z } from 'zod'
import { Field } from '@/components/forms'
import {
  BalanceFacts,
  DraftList,
  InvoiceList,
  IssueReadyForm,
  MakeDraftsForm,
  OverBilledList,
  StartDraftForm,
  UnbilledList,
} from '@/components/money'
import { ButtonLink, DateWords, Facts, moneyWords, Pages, Sheet, TabLinks } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { FilterForm } from '@/components/tables'
import { mayDo } from '@/lib/office/frame/role-actions'
import { CLIENTS_LISTED, INVOICE_FILTERS, INVOICES_PER_PAGE, moneyPage } from '@/lib/office/money/queries'
import { requireActor } from '@/lib/office/people/session'
import { issueReadyAction, makeDraftsAction, startDraftAction } from './actions'

export const metadata: Metadata = { title: 'Money' }

const month = z.string().regex(/^\d{4}-(0[1-9]|1[0-2])$/)
const pageNumber = z.coerce.number().int().min(1).max(10_000).catch(1)
const query = z.object({
  through: month.optional().catch(undefined),
  since: month.optional().catch(undefined),
  show: z.enum(INVOICE_FILTERS).catch('all'),
  search: z.string().trim().max(80).catch(''),
  page: pageNumber,
  drafts: pageNumber,
  unbilled: pageNumber,
  client: z.string().trim().max(80).catch(''),
})

const TABS = {
  all: 'All',
  open: 'Outstanding',
  late: 'Overdue',
  paid: 'Paid',
  credited: 'Credited',
  credit: 'Credit notes',
} as const

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function MoneyPage({ searchParams }: Props) {
  const actor = await requireActor('money.read')
  const asked = query.parse(await searchParams)
  const { through, since, show, search, page, client } = asked
  const money = await moneyPage(actor, {
    ...{ through, since, filter: show, search, page, client },
    draftPage: asked.drafts,
    unbilledPage: asked.unbilled,
  })
  const { currency, locale, sums, drafts, unbilled } = money
  const amount = (minor: number) => moneyWords({ minor, currency, locale })
  const mayChange = mayDo(actor.roles, 'money.change')
  const href = (to: { show?: string; page?: number }) =>
    `/money?${new URLSearchParams({ show: to.show ?? show, ...(search ? { search } : {}), page: String(to.page ?? 1) })}#invoices`
  const pageOf = (list: 'drafts' | 'unbilled') => (number: number) =>
    `/money?${new URLSearchParams({ ...(through ? { through } : {}), ...(since ? { since } : {}), [list]: String(number) })}#${list}`
  return (
    <>
      <PageHead
        title="Money"
        sub={
          sums.late.count > 0
            ? `${sums.late.count === 1 ? 'One invoice is' : `${sums.late.count} invoices are`} overdue, ${amount(sums.late.minor)} in total.`
            : 'No invoice is overdue.'
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
          <Sheet title="Drafts to issue" tone={drafts.total > 0 ? 'call' : undefined} id="drafts">
            <DraftList drafts={drafts.drafts} locale={locale} />
            <Pages of="Drafts" {...drafts} hrefOf={pageOf('drafts')} />
            {mayChange && (
              <IssueReadyForm action={issueReadyAction} today={money.today} drafts={drafts.ready} locale={locale} />
            )}
          </Sheet>
          {unbilled !== null && unbilled.over.length > 0 && (
            <Sheet title="Billed too much" tone="call">
              <OverBilledList over={unbilled.over} currency={currency} locale={locale} />
            </Sheet>
          )}
          <Sheet title="Not yet billed" id="unbilled">
            <FilterForm action="/money" label="Which unbilled work" clearHref={through || since ? '/money' : undefined}>
              <Field label="Through the month" name="through" type="month" defaultValue={money.through} />
              <Field
                label="Bill missed fees from"
                name="since"
                type="month"
                defaultValue={since ?? ''}
                hint="Leave blank to start when the agreement was written down."
              />
            </FilterForm>
            {unbilled === null ? (
              <p>The work is being priced for the first time. Reload the page in a minute.</p>
            ) : (
              <>
                <UnbilledList groups={unbilled.groups} locale={locale} />
                <Pages of="Payers" {...unbilled} hrefOf={pageOf('unbilled')} />
                {unbilled.madeAt && (
                  <p className="soft small">
                    As it stood at{' '}
                    <DateWords date={unbilled.madeAt} style="moment" locale={locale} timeZone={money.timeZone} />.
                    Drafts are made of what is unbilled when you make them.
                  </p>
                )}
              </>
            )}
            {mayChange && (
              <MakeDraftsForm
                action={makeDraftsAction}
                through={money.through}
                since={since}
                payerCount={unbilled?.payerCount ?? 0}
                payers={unbilled?.payers ?? []}
              />
            )}
          </Sheet>
        </div>
        <div className="stack">
          <Sheet title="Owed today">
            <BalanceFacts
              balances={sums.balances}
              locale={locale}
              hrefs={{ open: href({ show: 'open' }), late: href({ show: 'late' }), account: '/books/debtors' }}
            />
            <Facts
              numbers
              items={[
                {
                  key: 'received',
                  term: <PageLink href="/books">Received this month, {sums.received.count}</PageLink>,
                  value: amount(sums.received.minor),
                },
              ]}
            />
          </Sheet>
          {mayChange && (
            <Sheet title="Something else to bill">
              {(client !== '' || money.clients.length > CLIENTS_LISTED) && (
                <FilterForm action="/money" label="Which client" clearHref={client ? '/money' : undefined}>
                  <Field label="Part of the client’s name" name="client" type="search" defaultValue={client} />
                </FilterForm>
              )}
              <StartDraftForm action={startDraftAction} clients={money.clients.slice(0, CLIENTS_LISTED)} />
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
        <Pages
          of="Invoices"
          page={page}
          perPage={INVOICES_PER_PAGE}
          total={money.total}
          hrefOf={(number) => href({ page: number })}
        />
      </Sheet>
    </>
  )
}
