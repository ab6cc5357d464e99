import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { TaxDocuments } from '@/components/money'
import { dateWords, Pages, Sheet } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { TAX_BASIS_WORDS, taxPage } from '@/lib/office/money/queries'
import { TAX_CATEGORIES } from '@/lib/office/money/tax'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Tax' }

const query = z
  .object({
    from: z.iso.date(),
    to: z.iso.date(),
    basis: z.enum(['issue', 'service', 'cash']),
    currency: z.string().regex(/^[A-Z]{3}$/),
    category: z.enum(TAX_CATEGORIES),
    rate: z.string().regex(/^\d{1,3}(\.\d{1,4})?$/),
    name: z.string().max(60).optional().default(''),
    page: z.coerce.number().int().min(1).max(10_000).catch(1),
  })
  .refine(({ from, to }) => from <= to)

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function TaxPage({ searchParams }: Props) {
  const actor = await requireActor('books.export')
  const asked = query.safeParse(await searchParams)
  if (!asked.success) notFound()
  const { page, rate, basis, category, name, ...rest } = asked.data
  const { documents, pages, locale, words } = await taxPage(actor, { ...asked.data, ratePercent: rate })
  const day = (date: string) => dateWords({ date, style: 'date', locale })
  const href = (number: number) =>
    `/books/tax?${new URLSearchParams({ ...rest, basis, category, rate, name, page: String(number) })}`
  return (
    <>
      <PageHead
        over={
          <PageLink href={`/books?${new URLSearchParams({ from: rest.from, to: rest.to, basis })}`}>Books</PageLink>
        }
        title={`${words}, ${rate}\u00a0%`}
        sub={`By ${TAX_BASIS_WORDS[basis]}, ${day(rest.from)} to ${day(rest.to)}, page ${page}.`}
      />
      <Sheet title="Documents">
        <TaxDocuments documents={documents} currency={rest.currency} locale={locale} />
        <Pages of="Documents" {...pages} hrefOf={href} />
      </Sheet>
    </>
  )
}
