import { DateWords, Empty, Money } from '@/components/paper'
import { PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { StandingWords } from './money-words'

type TaxSum = {
  currency: string
  category: string
  words: string
  ratePercent: string
  taxableMinor: number
  taxMinor: number
}

/** What a tax return asks: taxable amount and tax by category and rate, credit notes taken off. */
export function TaxSums({ sums, locale }: { sums: readonly TaxSum[]; locale: string }) {
  const single = new Set(sums.map(({ currency }) => currency)).size === 1 ? sums[0]?.currency : undefined
  const foot = (of: (sum: TaxSum) => number) =>
    single && <Money minor={sums.reduce((total, sum) => total + of(sum), 0)} currency={single} locale={locale} />
  return (
    <DataTable
      caption="Tax by category and rate, credit notes taken off"
      captionHidden
      rows={sums}
      rowKey={(sum) => `${sum.currency} ${sum.category} ${sum.ratePercent}`}
      empty={<Empty title="Nothing was issued in this period" />}
      columns={[
        {
          key: 'category',
          header: 'Category',
          cell: ({ category, words }) => `${category}, ${words}`,
          foot: 'Together',
        },
        { key: 'rate', header: 'Rate', numeric: true, cell: ({ ratePercent }) => `${ratePercent}\u00a0%` },
        {
          key: 'taxable',
          header: 'Net',
          numeric: true,
          cell: (sum) => <Money minor={sum.taxableMinor} currency={sum.currency} locale={locale} />,
          foot: foot((sum) => sum.taxableMinor),
        },
        {
          key: 'tax',
          header: 'Tax',
          numeric: true,
          cell: (sum) => <Money minor={sum.taxMinor} currency={sum.currency} locale={locale} />,
          foot: foot((sum) => sum.taxMinor),
        },
      ]}
    />
  )
}

type BookDocument = {
  id: string
  number: string
  issuedOn: string
  clientName: string
  currency: string
  netMinor: number
  taxMinor: number
  grossMinor: number
  outstandingMinor: number
  state: string | null
  daysLate: number
}

/** Documents issued in a period; each leads to its page, where payments are written down. */
export function BookDocuments({ documents, locale }: { documents: readonly BookDocument[]; locale: string }) {
  const amount = (of: (row: BookDocument) => number) => (row: BookDocument) => (
    <Money minor={of(row)} currency={row.currency} locale={locale} />
  )
  return (
    <DataTable
      caption="Invoices and credit notes issued"
      captionHidden
      rows={documents}
      rowHref={({ id }) => `/money/${id}`}
      empty={<Empty title="Nothing was issued in this period" />}
      columns={[
        { key: 'number', header: 'Number', cell: ({ number }) => number },
        { key: 'of', header: 'Of', cell: ({ issuedOn }) => <DateWords date={issuedOn} style="date" locale={locale} /> },
        { key: 'client', header: 'Client', cell: ({ clientName }) => clientName },
        { key: 'net', header: 'Net', numeric: true, cell: amount((row) => row.netMinor) },
        { key: 'tax', header: 'Tax', numeric: true, cell: amount((row) => row.taxMinor) },
        { key: 'total', header: 'Total', numeric: true, cell: amount((row) => row.grossMinor) },
        { key: 'state', header: 'How it stands', cell: (row) => <StandingWords {...row} locale={locale} /> },
      ]}
    />
  )
}

type BookPayment = {
  id: string
  receivedOn: string
  amountMinor: number
  method: string
  reference: string
  invoiceId: string
  number: string
  currency: string
  clientName: string
}

/** Payments received in a period. */
export function BookPayments({ payments, locale }: { payments: readonly BookPayment[]; locale: string }) {
  return (
    <DataTable
      caption="Payments received"
      captionHidden
      rows={payments}
      empty={<Empty title="Nothing came in in this period" />}
      columns={[
        {
          key: 'day',
          header: 'Day',
          cell: ({ receivedOn }) => <DateWords date={receivedOn} style="date" locale={locale} />,
        },
        { key: 'client', header: 'Client', cell: ({ clientName }) => clientName },
        {
          key: 'invoice',
          header: 'Invoice',
          cell: ({ invoiceId, number }) => <PageLink href={`/money/${invoiceId}`}>{number}</PageLink>,
        },
        { key: 'how', header: 'How', cell: ({ method, reference }) => [method, reference].filter(Boolean).join(', ') },
        {
          key: 'amount',
          header: 'Amount',
          numeric: true,
          cell: ({ amountMinor, currency }) => <Money minor={amountMinor} currency={currency} locale={locale} />,
        },
      ]}
    />
  )
}
