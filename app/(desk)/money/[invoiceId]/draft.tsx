import { Step } from '@/components/forms'
import { Checks, DraftChanges, DraftForm, InvoicePaper, IssueForm } from '@/components/money'
import { Sheet } from '@/components/paper'
import type { InvoicePage } from '@/lib/office/money/invoice-page'
import { discardDraftAction, editDraftAction, issueInvoiceAction, takeNewFiguresAction } from '../actions'

type Props = { invoice: InvoicePage; what: 'invoice' | 'credit note'; total: string; mayChange: boolean }

/** A draft: what stands in its way, its lines, how it will look, and the way to its number. */
export function DraftPage({ invoice, what, total, mayChange }: Props) {
  const { id: invoiceId, today, currency, issues, lines, grossMinor } = invoice
  const blocked = issues.some(({ blocking }) => blocking)
  return (
    <div className="wide-narrow">
      <div className="stack">
        <InvoicePaper view={invoice.view} />
        {mayChange && (
          <Sheet title="What it says">
            <DraftForm
              key={invoice.writtenAnew}
              action={editDraftAction}
              invoiceId={invoiceId}
              purchaseOrder={invoice.purchaseOrder}
              note={invoice.note}
              seen={invoice.seen}
              lines={lines}
              prices={invoice.prices}
              today={today}
              currency={currency}
              tax={invoice.defaultTax}
              fixedLines={invoice.documentType === 'credit_note'}
            />
          </Sheet>
        )}
      </div>
      <div className="stack">
        {invoice.changes.length > 0 && (
          <Sheet title="The records have changed" tone="call">
            <DraftChanges changes={invoice.changes} currency={currency} locale={invoice.locale} />
            {mayChange && (
              <Step
                name="draft.new-figures"
                ask="Take the new figures"
                confirm="Yes, write these lines anew"
                hidden={{ invoiceId }}
                action={takeNewFiguresAction}
              >
                <p>What you wrote on these lines is replaced. The other lines stay as they are.</p>
              </Step>
            )}
          </Sheet>
        )}
        <Sheet title="Before it goes out" tone={blocked ? 'call' : undefined}>
          {issues.length === 0 && <p>Nothing stands in the way.</p>}
          <Checks issues={issues} />
          {mayChange && !blocked && (
            <IssueForm
              action={issueInvoiceAction}
              invoiceId={invoiceId}
              today={today}
              grossMinor={grossMinor}
              total={total}
              what={what}
            />
          )}
          {mayChange && (
            <Step
              name="draft.discard"
              ask="Discard this draft"
              confirm="Yes, discard it"
              hidden={{ invoiceId }}
              action={discardDraftAction}
            >
              <p>It never had a number, so none will be missing. The work on it is unbilled again.</p>
            </Step>
          )}
        </Sheet>
      </div>
    </div>
  )
}
