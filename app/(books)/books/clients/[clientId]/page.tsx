import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { moveCreditAction, recordReceiptAction } from '@/app/(desk)/money/actions'
import { Field } from '@/components/forms'
import { AccountTable, BalanceFacts, MoveCreditForm, ReceiptForm } from '@/components/money'
import { dateWords, moneyWords, Problem, Sheet } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { FilterForm } from '@/components/tables'
import { mayDo } from '@/lib/office/frame/role-actions'
import { readPeriod } from '@/lib/office/money/period'
import { accountPage } from '@/lib/office/money/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Account' }

const day = z.string().max(20).optional().catch(undefined)
const query = z.object({ from: day, to: day })

const ENTRIES_SHOWN = 200
/** Of those still owed, the oldest: a payment settles these first. */
const INVOICES_OFFERED = 50

type Props = {
  params: Promise<{ clientId: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export default async function AccountPage({ params, searchParams }: Props) {
  const actor = await requireActor('books.export')
  const clientId = z.uuid().safeParse((await params).clientId)
  const asked = query.parse(await searchParams)
  const { words, ...days } = readPeriod(asked)
  const account = clientId.success ? await accountPage(actor, clientId.data, days) : null
  if (!account) notFound()
  const { period, locale, currency, open, overSettled, unallocatedMinor } = account
  const file = (name: string) => `/api/books/${name}?${new URLSearchParams({ ...period, client: account.clientId })}`
  const amount = (minor: number, of = currency) => moneyWords({ minor, currency: of, locale })
  const from = [
    ...(unallocatedMinor > 0 ? [{ value: '', label: `Credit in hand, ${amount(unallocatedMinor)}` }] : []),
    ...overSettled.map((one) => ({
      value: one.id,
      label: `${one.number}, ${amount(-one.outstandingMinor, one.currency)}`,
    })),
  ]
  const owed = open.map((one) => ({
    value: one.id,
    label: `${one.number}, ${amount(one.outstandingMinor, one.currency)} owed`,
  }))
  return (
    <>
      <PageHead
        over={<PageLink href="/books/debtors">Aged debtors</PageLink>}
        title={account.clientName}
        sub={`Statement of account, ${dateWords({ date: period.from, style: 'date', locale })} to ${dateWords({ date: period.to, style: 'date', locale })}.`}
        actions={
          <>
            <a className="button go" href={file('statement-pdf')}>
              Statement as PDF
            </a>
            <a className="button" href={file('statement')}>
              Statement as CSV
            </a>
          </>
        }
      />
      {words !== null && <Problem>{words}</Problem>}
      <FilterForm action={`/books/clients/${account.clientId}`} label="Which period">
        <Field label="From" name="from" type="date" defaultValue={period.from} />
        <Field label="To" name="to" type="date" defaultValue={period.to} />
      </FilterForm>
      <div className="wide-narrow">
        <div className="stack">
          {account.currencies.map((one) => (
            <Sheet key={one.currency} title={`Account in ${one.currency}`}>
              {one.entries.length > ENTRIES_SHOWN && (
                <p>
                  The first {ENTRIES_SHOWN} of {one.entries.length} entries. The PDF and the CSV have all of them.
                </p>
              )}
              <AccountTable
                account={{ ...one, entries: one.entries.slice(0, ENTRIES_SHOWN) }}
                period={period}
                locale={locale}
              />
            </Sheet>
          ))}
        </div>
        <div className="stack">
          <Sheet title={`As at ${dateWords({ date: period.to, style: 'date', locale })}`}>
            <BalanceFacts balances={account.currencies.map(({ balance }) => balance)} locale={locale} />
          </Sheet>
          {mayDo(actor.roles, 'payment.record') && (
            <Sheet title="Record a payment">
              <ReceiptForm
                action={recordReceiptAction}
                clientId={account.clientId}
                today={account.today}
                currency={currency}
                open={open.slice(0, INVOICES_OFFERED).map((one) => ({
                  id: one.id,
                  number: one.number,
                  outstanding: amount(one.outstandingMinor, one.currency),
                }))}
              />
            </Sheet>
          )}
          {from.length > 0 && mayDo(actor.roles, 'payment.record') && (
            <Sheet title="Move credit">
              <MoveCreditForm
                action={moveCreditAction}
                clientId={account.clientId}
                currency={currency}
                from={from}
                to={[...owed, { value: '', label: 'Credit in hand' }]}
              />
            </Sheet>
          )}
        </div>
      </div>
    </>
  )
}
