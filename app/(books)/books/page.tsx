import type { Metadata } from 'next'
import { z } from 'zod'
import { chooseBooksAction } from '@/app/(desk)/money/actions'
import { Field, SelectField } from '@/components/forms'
import { BalanceFacts, BookChoicesForm, BookDocuments, BookPayments, TaxSums } from '@/components/money'
import { ButtonLink, dateWords, Pages, Problem, Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { FilterForm } from '@/components/tables'
import { readPeriod } from '@/lib/office/money/period'
import { booksPage, TAX_BASIS_WORDS } from '@/lib/office/money/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Books' }

const page = z.coerce.number().int().min(1).max(10_000).catch(1)
const query = z.object({
  from: z.string().max(20).optional().catch(undefined),
  to: z.string().max(20).optional().catch(undefined),
  basis: z.enum(['issue', 'service', 'cash']).optional().catch(undefined),
  documents: page,
  payments: page,
})

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function BooksPage({ searchParams }: Props) {
  const actor = await requireActor('books.export')
  const asked = query.parse(await searchParams)
  const { words, ...days } = readPeriod(asked)
  const { documents: documentsPage, payments: paymentsPage } = asked
  const books = await booksPage(actor, { ...days, basis: asked.basis, documentsPage, paymentsPage })
  const { period, basis, locale, documentPages, paymentPages } = books
  const hrefOf = (more: Record<string, number>) =>
    `/books?${new URLSearchParams({ ...period, basis, documents: String(documentsPage), payments: String(paymentsPage), ...Object.fromEntries(Object.entries(more).map(([key, number]) => [key, String(number)])) })}`
  const day = (date: string) => dateWords({ date, style: 'date', locale })
  const file = (name: string) => `/api/books/${name}?${new URLSearchParams({ ...period, basis })}`
  return (
    <>
      <PageHead
        title="Books"
        over={books.businessName}
        sub={`${day(period.from)} to ${day(period.to)}: ${documentPages.total} documents issued, ${paymentPages.total} payments received.`}
        actions={
          <>
            <ButtonLink href="/books/debtors" go>
              Aged debtors
            </ButtonLink>
            <a className="button" href={file('csv')}>
              Lines as CSV
            </a>
            <a className="button" href={file('payments')}>
              Payments as CSV
            </a>
            <a className="button" href={file('tax')}>
              Tax as CSV
            </a>
          </>
        }
      />
      {words !== null && <Problem>{words}</Problem>}
      <FilterForm action="/books" label="Which period" clearHref={asked.from || asked.to ? '/books' : undefined}>
        <Field label="From" name="from" type="date" defaultValue={period.from} />
        <Field label="To" name="to" type="date" defaultValue={period.to} />
        <SelectField
          label="Tax by"
          name="basis"
          defaultValue={basis}
          options={Object.entries(TAX_BASIS_WORDS).map(([value, label]) => ({ value, label }))}
        />
      </FilterForm>
      <div className="wide-narrow">
        <Sheet title={`Tax by ${TAX_BASIS_WORDS[basis]}`}>
          <TaxSums
            sums={books.taxSums}
            locale={locale}
            hrefOf={({ currency, category, ratePercent, name }) =>
              `/books/tax?${new URLSearchParams({ ...period, basis, currency, category, rate: ratePercent, name })}`
            }
          />
        </Sheet>
        <Sheet title="Owed today">
          <BalanceFacts
            balances={books.balances}
            locale={locale}
            hrefs={{ open: '/money?show=open#invoices', late: '/money?show=late#invoices', account: '/books/debtors' }}
          />
        </Sheet>
      </div>
      <Sheet title="Issued">
        <BookDocuments documents={books.documents} locale={locale} />
        <Pages of="Documents" {...documentPages} hrefOf={(number) => hrefOf({ documents: number })} />
      </Sheet>
      <Sheet title="Received">
        <BookPayments payments={books.payments} sums={books.paymentSums} locale={locale} />
        <Pages of="Payments" {...paymentPages} hrefOf={(number) => hrefOf({ payments: number })} />
      </Sheet>
      <Sheet title="How the books are kept">
        <BookChoicesForm action={chooseBooksAction} taxBasis={books.ownBasis} fileDecimals={books.fileDecimals} />
      </Sheet>
    </>
  )
}
