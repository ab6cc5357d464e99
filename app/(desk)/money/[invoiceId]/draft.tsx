import { Checks, DraftForm, InvoicePaper, IssueForm, OneAct } from '@/components/money'
import { Sheet } from '@/components/paper'
import type { InvoicePage } from '@/lib/office/money/invoice-page'
import { discardDraftAction, editDraftAction, issueInvoiceAction } from '../actions'

type Props = { invoice: InvoicePage; what: 'invoice' | 'credit note'; total: string; mayChange: boolean }

/** A draft: what stands in its way, its lines, how it will look, and the way to its number. */
export function DraftPage({ invoice, what, total, mayChange }: Props) {
  const { businessId, today, currency, issues, lines, grossMinor } = invoice
  const blocked = issues.some(({ blocking }) => blocking)
  const ids = { businessId, invoiceId: invoice.id }
  return (
    <div className="wide-narrow">
      <div className="stack">
        <InvoicePaper view={invoice.view} />
        {mayChange && (
          <Sheet title="What it says">
            <DraftForm
              {...ids}
              purchaseOrder={invoice.purchaseOrder}
              note={invoice.note}
              lines={lines}
              prices={invoice.prices}
              today={today}
              currency={currency}
              tax={invoice.defaultTax}
              fixedLines={invoice.documentType === 'credit_note'}
              act={editDraftAction}
            />
          </Sheet>
        )}
      </div>
      <div className="stack">
        <Sheet title="Before it goes out" tone={blocked ? 'call' : undefined}>
          {issues.length === 0 && <p>Nothing stands in the way.</p>}
          <Checks issues={issues} />
          {mayChange && !blocked && (
            <IssueForm
              key={grossMinor}
              {...ids}
              today={today}
              grossMinor={grossMinor}
              total={total}
              what={what}
              act={issueInvoiceAction}
            />
          )}
          {mayChange && (
            <OneAct
              ask="Discard this draft"
              confirm="Yes, discard it"
              input={ids}
              act={discardDraftAction}
              nextHref="/money"
            >
              <p>It never had a number, so none will be missing. The work on it is unbilled again.</p>
            </OneAct>
          )}
        </Sheet>
      </div>
    </div>
  )
}
