import type { Metadata } from 'next'
import { DateWords, Empty, Money } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { requireActor } from '@/lib/office/people/session'
import { ourInvoices, type RecordInvoice } from '@/lib/office/record/queries'

export const metadata: Metadata = { title: 'Invoices' }

export default async function OurInvoicesPage() {
  const actor = await requireActor('record.read')
  const { invoices, locale } = await ourInvoices(actor)
  return (
    <div className="stack">
      <PageHead over={<PageLink href="/our-tanks">Our tanks</PageLink>} title="Invoices" />
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
            header: 'Of',
            cell: (row) => <DateWords date={row.issuedOn} style="short" locale={locale} />,
          },
          {
            key: 'due',
            header: 'To pay by',
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
            header: 'Open',
            numeric: true,
            cell: (row) => <Money minor={openMinor(row)} currency={row.currency} locale={locale} />,
          },
        ]}
      />
    </div>
  )
}

function openMinor(row: RecordInvoice): number {
  return row.documentType === 'credit_note' ? 0 : Math.max(0, row.grossMinor - row.paidMinor)
}
