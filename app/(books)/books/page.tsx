import type { Metadata } from 'next'
import { z } from 'zod'
import { Field } from '@/components/forms'
import { BookDocuments, BookPayments, TaxSums } from '@/components/money'
import { dateWords, Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { FilterForm } from '@/components/tables'
import { booksPage } from '@/lib/office/money/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Books' }

const query = z.object({
  from: z.iso.date().optional().catch(undefined),
  to: z.iso.date().optional().catch(undefined),
})

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function BooksPage({ searchParams }: Props) {
  const actor = await requireActor('books.export')
  const { from, to } = query.parse(await searchParams)
  const books = await booksPage(actor, { from, to })
  const { period, locale, documents, payments, taxSums } = books
  const day = (date: string) => dateWords({ date, style: 'date', locale })
  return (
    <>
      <PageHead
        title="Books"
        over={books.businessName}
        sub={`${day(period.from)} to ${day(period.to)}: ${documents.length} documents issued, ${payments.length} payments received.`}
        actions={
          <a className="button go" href={`/api/books/csv?${new URLSearchParams(period)}`}>
            Download as CSV
          </a>
        }
      />
      <FilterForm action="/books" label="Which period" clearHref={from || to ? '/books' : undefined}>
        <Field label="From" name="from" type="date" defaultValue={period.from} />
        <Field label="To" name="to" type="date" defaultValue={period.to} />
      </FilterForm>
      <Sheet title="Tax">
        <TaxSums sums={taxSums} locale={locale} />
      </Sheet>
      <Sheet title="Issued">
        <BookDocuments documents={documents} locale={locale} />
      </Sheet>
      <Sheet title="Received">
        <BookPayments payments={payments} locale={locale} />
      </Sheet>
    </>
  )
}
