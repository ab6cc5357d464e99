import { DateWords, Empty, Money } from '@/components/paper'
import { PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { StandingWords } from './money-words'

type TaxSum = {
  currency: string
  category: string
  name: string
  words: string
  ratePercent: string
  taxableMinor: number
  /** As `taxableMinor`, but a net under several named taxes once. */
  netMinor: number
  taxMinor: number
}

/** What a tax return asks: taxable amount and tax by category and rate, credit notes taken off. */
export function TaxSums({
  sums,
  locale,
  hrefOf,
}: {
  sums: readonly TaxSum[]
  locale: string
  hrefOf: (sum: TaxSum) => string
}) {
  const single = new Set(sums.map(({ currency }) => currency)).size === 1 ? sums[0]?.currency : undefined
  const foot = (of: (sum: TaxSum) => number) =>
    single && <Money minor={sums.reduce((total, sum) => total + of(sum), 0)} currency={single} locale={locale} />
  return (
    <DataTable
      caption="Tax by category and rate, credit notes taken off"
      captionHidden
      rows={sums}
      rowKey={(sum) => `${sum.currency} ${sum.category} ${sum.ratePercent} ${sum.name}`}
      rowHref={hrefOf}
      empty={<Empty title="Nothing was issued in this period" />}
      columns={[
        {
          key: 'category',
          header: 'Kind of tax',
          cell: ({ words }) => words,
          foot: 'Total',
        },
        { key: 'rate', header: 'Rate', numeric: true, cell: ({ ratePercent }) => `${ratePercent}\u00a0%` },
        {
          key: 'taxable',
          header: 'Net',
          numeric: true,
          cell: (sum) => <Money minor={sum.taxableMinor} currency={sum.currency} locale={locale} />,
          foot: foot((sum) => sum.netMinor),
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
        {
          key: 'of',
          header: 'Date',
          cell: ({ issuedOn }) => <DateWords date={issuedOn} style="date" locale={locale} />,
        },
        { key: 'client', header: 'Client', cell: ({ clientName }) => clientName },
        { key: 'net', header: 'Net', numeric: true, cell: amount((row) => row.netMinor) },
        { key: 'tax', header: 'Tax', numeric: true, cell: amount((row) => row.taxMinor) },
        { key: 'total', header: 'Total', numeric: true, cell: amount((row) => row.grossMinor) },
        { key: 'state', header: 'Status', cell: (row) => <StandingWords {...row} locale={locale} /> },
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
  settles: string
  currency: string
  clientId: string
  clientName: string
}

type PaymentsProps = {
  payments: readonly BookPayment[]
  /** Of the whole period, not of this page. */
  sums: readonly { currency: string; minor: number }[]
  locale: string
}

/** Payments received in a period; each leads to what it settles. */
export function BookPayments({ payments, sums, locale }: PaymentsProps) {
  return (
    <DataTable
      caption="Payments received"
      captionHidden
      rows={payments}
      rowHref={({ id }) => `/books/payments/${id}`}
      empty={<Empty title="Nothing came in in this period" />}
      columns={[
        {
          key: 'day',
          header: 'Date',
          cell: ({ receivedOn }) => <DateWords date={receivedOn} style="date" locale={locale} />,
          foot: 'Total',
        },
        {
          key: 'client',
          header: 'Client',
          cell: ({ clientId, clientName }) => <PageLink href={`/books/clients/${clientId}`}>{clientName}</PageLink>,
        },
        { key: 'settles', header: 'Settles', cell: ({ settles }) => settles || 'credit in hand' },
        {
          key: 'how',
          header: 'Method',
          cell: ({ method, reference }) => [method, reference].filter(Boolean).join(', '),
        },
        {
          key: 'amount',
          header: 'Amount',
          numeric: true,
          cell: ({ amountMinor, currency }) => <Money minor={amountMinor} currency={currency} locale={locale} />,
          foot: sums.map(({ currency, minor }) => (
            <Money key={currency} minor={minor} currency={currency} locale={locale} />
          )),
        },
      ]}
    />
  )
}

type TaxDocument = {
  id: string
  number: string
  issuedOn: string
  clientName: string
  taxableMinor: number
  taxMinor: number
}

/** The documents behind one sum of the tax report. */
export function TaxDocuments({
  documents,
  currency,
  locale,
}: {
  documents: readonly TaxDocument[]
  currency: string
  locale: string
}) {
  return (
    <DataTable
      caption="Documents behind this tax"
      captionHidden
      rows={documents}
      rowHref={({ id }) => `/money/${id}`}
      empty={<Empty title="No document in this period" />}
      columns={[
        { key: 'number', header: 'Number', cell: ({ number }) => number },
        {
          key: 'day',
          header: 'Date',
          cell: ({ issuedOn }) => <DateWords date={issuedOn} style="date" locale={locale} />,
        },
        { key: 'client', header: 'Client', cell: ({ clientName }) => clientName },
        {
          key: 'net',
          header: 'Net',
          numeric: true,
          cell: ({ taxableMinor }) => <Money minor={taxableMinor} currency={currency} locale={locale} />,
        },
        {
          key: 'tax',
          header: 'Tax',
          numeric: true,
          cell: ({ taxMinor }) => <Money minor={taxMinor} currency={currency} locale={locale} />,
        },
      ]}
    />
  )
}
