import { CorrectPaymentForm, CreditForm, InvoicePaper, PaymentForm } from '@/components/money'
import { DateWords, Empty, Facts, Money, Sheet } from '@/components/paper'
import { PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import type { InvoicePage } from '@/lib/office/money/invoice-page'
import { correctPaymentAction, creditInvoiceAction, recordPaymentAction } from '../actions'

type Props = { invoice: InvoicePage; mayChange: boolean }

/** An issued document: as the client holds it, what came in, and the ways to put something right. */
export function IssuedPage({ invoice, mayChange }: Props) {
  const { businessId, currency, locale, standing, creditNotes, creditDraftId, credits } = invoice
  const amount = (minor: number) => <Money minor={minor} currency={currency} locale={locale} />
  const isInvoice = invoice.documentType === 'invoice'
  return (
    <div className="wide-narrow">
      <InvoicePaper view={invoice.view} />
      <div className="stack">
        {credits && (
          <Sheet title="Credits">
            <PageLink href={`/money/${credits.id}`}>Invoice {credits.number}</PageLink>
          </Sheet>
        )}
        {isInvoice && (
          <Sheet title="Payments" tone={standing.daysLate > 0 ? 'call' : undefined}>
            <Facts
              numbers
              items={[
                { term: 'Total', value: amount(invoice.grossMinor) },
                ...creditNotes.map((note) => ({
                  key: note.id,
                  term: <PageLink href={`/money/${note.id}`}>Credit note {note.number}</PageLink>,
                  value: amount(-note.grossMinor),
                })),
                { term: 'Paid', value: amount(standing.paidMinor) },
                {
                  term: standing.outstandingMinor < 0 ? 'In the client’s favour' : 'Open',
                  value: <b>{amount(Math.abs(standing.outstandingMinor))}</b>,
                },
              ]}
            />
            <Payments invoice={invoice} />
            <PaymentForm
              businessId={businessId}
              invoiceId={invoice.id}
              today={invoice.today}
              currency={currency}
              outstanding={invoice.outstandingText}
              act={recordPaymentAction}
            />
          </Sheet>
        )}
        {isInvoice && mayChange && (
          <Sheet title="Credit note">
            {creditDraftId ? (
              <PageLink href={`/money/${creditDraftId}`}>A draft of one is waiting.</PageLink>
            ) : (
              <details className="confirm">
                <summary>Take something back</summary>
                <div className="confirm-body">
                  <CreditForm
                    businessId={businessId}
                    invoiceId={invoice.id}
                    lines={invoice.lines}
                    act={creditInvoiceAction}
                  />
                </div>
              </details>
            )}
          </Sheet>
        )}
      </div>
    </div>
  )
}

function Payments({ invoice }: { invoice: InvoicePage }) {
  const { currency, locale, businessId } = invoice
  return (
    <DataTable
      caption="Payments"
      captionHidden
      rows={invoice.payments}
      empty={<Empty title="Nothing has come in yet" />}
      columns={[
        {
          key: 'day',
          header: 'Day',
          cell: ({ receivedOn }) => <DateWords date={receivedOn} style="date" locale={locale} />,
        },
        {
          key: 'how',
          header: 'How',
          cell: ({ method, reference, isCorrection }) =>
            [method, reference, isCorrection ? 'corrected' : ''].filter(Boolean).join(', '),
        },
        {
          key: 'amount',
          header: 'Amount',
          numeric: true,
          cell: ({ amountMinor }) => <Money minor={amountMinor} currency={currency} locale={locale} />,
        },
        {
          key: 'correct',
          header: 'Correct it',
          bare: true,
          cell: (payment) => (
            <CorrectPaymentForm
              businessId={businessId}
              currency={currency}
              payment={payment}
              act={correctPaymentAction}
            />
          ),
        },
      ]}
    />
  )
}
