import { CreditForm, InvoicePaper, PaymentForm } from '@/components/money'
import { DateWords, Empty, Facts, Money, Sheet } from '@/components/paper'
import { PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import type { InvoicePage } from '@/lib/office/money/invoice-page'
import { creditInvoiceAction, recordPaymentAction } from '../actions'

type Props = { invoice: InvoicePage; mayChange: boolean }

/** An issued document: as the client holds it, what came in, and the ways to put something right. */
export function IssuedPage({ invoice, mayChange }: Props) {
  const { currency, locale, standing, creditNotes, creditDraftId, credits } = invoice
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
                  term: standing.outstandingMinor < 0 ? 'Overpaid, in credit' : 'Outstanding',
                  value: <b>{amount(Math.abs(standing.outstandingMinor))}</b>,
                },
              ]}
            />
            <Payments invoice={invoice} />
            {invoice.inHandMinor > 0 && standing.outstandingMinor > 0 && (
              <p className="call">
                The client has {amount(invoice.inHandMinor)} credit in hand. Use it in the account.
              </p>
            )}
            <PageLink href={`/books/clients/${invoice.clientId}`}>The client’s account</PageLink>
            <PaymentForm
              action={recordPaymentAction}
              invoiceId={invoice.id}
              today={invoice.today}
              currency={currency}
              outstanding={invoice.outstandingText}
            />
          </Sheet>
        )}
        {isInvoice && mayChange && (
          <Sheet title="Credit note">
            {creditDraftId ? (
              <PageLink href={`/money/${creditDraftId}`}>A draft of one is waiting.</PageLink>
            ) : (
              <details className="confirm">
                <summary>Issue a credit note</summary>
                <div className="confirm-body">
                  <CreditForm
                    action={creditInvoiceAction}
                    invoiceId={invoice.id}
                    currency={currency}
                    lines={invoice.lines}
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
  const { currency, locale } = invoice
  return (
    <DataTable
      caption="Payments"
      captionHidden
      rows={invoice.payments}
      empty={<Empty title="Nothing has come in yet" />}
      columns={[
        {
          key: 'day',
          header: 'Date',
          cell: ({ receivedOn }) => <DateWords date={receivedOn} style="date" locale={locale} />,
        },
        {
          key: 'how',
          header: 'Method',
          cell: ({ paymentId, method, reference, amountMinor, isCorrection, isCorrected }) => {
            if (paymentId === null) return amountMinor < 0 ? 'moved to credit' : 'from credit'
            const said = [method, reference, isCorrected ? 'wrong entry, corrected' : isCorrection ? 'correction' : '']
            return (
              <PageLink href={`/books/payments/${paymentId}`}>
                {said.filter(Boolean).join(', ') || (amountMinor < 0 ? 'refund' : 'payment')}
              </PageLink>
            )
          },
        },
        {
          key: 'amount',
          header: 'Amount',
          numeric: true,
          cell: ({ amountMinor, isCorrected }) => {
            const words = <Money minor={amountMinor} currency={currency} locale={locale} />
            return isCorrected ? <s>{words}</s> : words
          },
        },
      ]}
    />
  )
}
