import type { Metadata } from 'next'
import { DateWords, Empty, Facts, Money, Sheet } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { ourInvoices, type RecordInvoice } from '@/lib/office/client-record/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Invoices' }

export default async function OurInvoicesPage() {
  const actor = await requireActor('record.read')
  const { invoices, locale, balances } = await ourInvoices(actor, new Date())
  return (
    <div className="stack">
      <PageHead over={<PageLink href="/our-tanks">Our tanks</PageLink>} title="Invoices" />
      {balances.map(({ currency, outstandingMinor, overdueMinor, inHandMinor, debtorsMinor }) => {
        const amount = (minor: number) => <Money minor={minor} currency={currency} locale={locale} />
        return (
          <Sheet key={currency}>
            <Facts
              numbers
              items={[
                { term: 'To pay', value: amount(outstandingMinor) },
                ...(overdueMinor > 0 ? [{ term: 'Overdue', value: amount(overdueMinor) }] : []),
                ...(inHandMinor > 0
                  ? [
                      { term: 'Your credit with us', value: amount(inHandMinor) },
                      {
                        term: debtorsMinor < 0 ? 'In your favour' : 'Left to pay',
                        value: <b>{amount(Math.abs(debtorsMinor))}</b>,
                      },
                    ]
                  : []),
              ]}
            />
          </Sheet>
        )
      })}
      <DataTable
        caption="Invoices and credit notes, newest first"
        captionHidden
        rows={invoices}
        rowKey={(row) => row.id}
        empty={<Empty title="No invoice yet" />}
        columns={[
          {
            key: 'number',
            header: 'Number',
            cell: (row: RecordInvoice) => (
              <a href={`/api/invoices/${row.id}/pdf`}>
                {row.documentType === 'credit_note' ? 'Credit note ' : ''}
                {row.number} (PDF)
              </a>
            ),
          },
          {
            key: 'issued',
            header: 'Date',
            cell: (row) => <DateWords date={row.issuedOn} style="short" locale={locale} />,
          },
          {
            key: 'due',
            header: 'Due',
            cell: (row) =>
              row.dueOn && row.documentType === 'invoice' ? (
                <DateWords date={row.dueOn} style="short" locale={locale} />
              ) : (
                ''
              ),
          },
          {
            key: 'gross',
            header: 'Amount',
            numeric: true,
            cell: (row) => <Money minor={row.grossMinor} currency={row.currency} locale={locale} />,
          },
          {
            key: 'open',
            header: 'Outstanding',
            numeric: true,
            cell: (row) => <Money minor={row.outstandingMinor} currency={row.currency} locale={locale} />,
          },
        ]}
      />
    </div>
  )
}
